// What the band needs: each colour's beads, what is in stock, what is short and what to buy.

import { drawPile } from "./bead-drawing.js";
import { fetchFactsLater } from "./commands.js";
import { create, element, get } from "./dom.js";
import { counted, grams, number } from "./format.js";
import { sentence } from "./labels.js";
import { state } from "./state.js";

/** @import { KitColourReport, KitReport } from "../answers.d.ts" */

/** The pile in front of a colour. */
const PILE = { size: 36, count: 30 };
/** The fields of the kit, each with the export setting that it shares its value with. */
const FIELDS = { "kit-make": "make", "kit-spare": "spare" };

/** Connects the view's fields. */
export function listenToKitView() {
  for (const [id, option] of Object.entries(FIELDS)) {
    const field = get(id, HTMLInputElement);
    field.addEventListener("input", () => {
      if (!field.checkValidity()) return;
      sharedField(option).value = field.value;
      fetchFactsLater();
    });
  }
  document.addEventListener("factschange", renderKit);
}

/** @param {string} option */
function sharedField(option) {
  const field = document.querySelector(`#export-options [data-option="${option}"]`);
  if (!(field instanceof HTMLInputElement)) throw new Error(`the page has no ${option}`);
  return field;
}

/** Shows the kit, while the view is open. */
export function renderKit() {
  if (element("palette-kit").hidden) return;
  for (const [id, option] of Object.entries(FIELDS)) {
    const field = get(id, HTMLInputElement);
    if (document.activeElement !== field) field.value = sharedField(option).value;
  }
  const { facts } = state;
  element("kit-waiting").hidden = facts !== null;
  if (!facts) return;
  const { kit, missing } = facts;
  // Without a palette that has all colours, nobody knows what is in stock.
  const isStocked = missing === null;
  element("kit-summary").textContent = summary(kit, isStocked);
  element("kit-summary").classList.toggle("short", isStocked && shortColours(kit).length > 0);
  const isPriced = kit.colours.some(({ price_per_gram }) => price_per_gram !== null);
  const table = element("kit-table");
  table.classList.toggle("priced", isPriced);
  element("kit-rows").replaceChildren(...kit.colours.map((colour) => row(colour, kit, isStocked)));
  element("kit-total").replaceChildren(...totalCells(kit));
  element("kit-thread").textContent = threadLine(kit);
  const notes = kit.warnings.map((warning) => create("li", {}, `${sentence(warning)}.`));
  element("kit-notes").replaceChildren(...notes);
}

/** @param {KitReport} kit */
function shortColours({ colours }) {
  return colours.filter(({ short_beads }) => short_beads);
}

/**
 * @param {KitReport} kit
 * @param {boolean} isStocked
 */
function summary(kit, isStocked) {
  if (!isStocked) return "This palette does not have all colours of the band: stock is not known.";
  const short = shortColours(kit);
  const bands = kit.make === 1 ? "this band" : counted(kit.make, "band");
  if (!short.length) return `You have all the beads for ${bands}.`;
  const names = short.map(({ name }) => name);
  const list = names.length > 3 ? counted(names.length, "colour") : names.join(", ");
  return `For ${bands} you are short of ${list}.`;
}

/**
 * @param {KitColourReport} colour
 * @param {KitReport} kit
 * @param {boolean} isStocked
 */
function row(colour, kit, isStocked) {
  const { name, code, hex, beads, beads_with_spare, in_stock_grams, short_beads } = colour;
  const pile = create("canvas", { "aria-hidden": "true" });
  const finish = state.palette?.colours.find((each) => each.code === code)?.finish;
  drawPile(pile, { ...PILE, colour: { code, name, hex, finish } });
  const stock = in_stock_grams === null ? "enough" : grams(in_stock_grams);
  return create(
    "tr",
    { class: short_beads ? "short" : undefined },
    create("th", { scope: "row" }, pile, create("span", {}, name, create("small", {}, code))),
    cell("Beads", number(beads), `${number(beads_with_spare)} with spares`),
    cell("Weight", grams(colour.grams)),
    cell("In stock", isStocked ? stock : "not known"),
    cell("Short", short_beads ? counted(short_beads, "bead") : "–"),
    cell("To buy", ...toBuy(colour, kit)),
    cell("Cost", colour.cost === null ? "–" : money(colour.cost, kit), "", "cost"),
  );
}

/**
 * What to buy of a colour: packs where they are stated, grams otherwise.
 * @param {KitColourReport} colour
 * @param {KitReport} kit
 * @returns {[string, string]}
 */
function toBuy({ short_grams, packs, pack_grams, cost_packs, cost_short }, kit) {
  if (!short_grams) return ["–", ""];
  const cost = cost_packs ?? cost_short;
  const price = cost === null ? "" : money(cost, kit);
  if (packs && pack_grams) return [`${counted(packs, "pack")} of ${grams(pack_grams)}`, price];
  return [grams(short_grams), price];
}

/**
 * @param {string} label what the column is called, where the table has no head
 * @param {string} text
 * @param {string} [more]
 * @param {string} [kind]
 */
function cell(label, text, more = "", kind = undefined) {
  const small = more ? [create("small", {}, more)] : [];
  return create("td", { "data-label": label, class: kind }, text, ...small);
}

/**
 * @param {number} value
 * @param {KitReport} kit
 */
function money(value, { currency }) {
  const amount = value.toFixed(2);
  return currency ? `${amount} ${currency}` : amount;
}

/** @param {KitReport} kit */
function totalCells(kit) {
  const { total } = kit;
  return [
    create("th", { scope: "row" }, "In all"),
    cell("Beads", number(total.beads), `${number(total.beads_with_spare)} with spares`),
    cell("Weight", grams(total.grams)),
    cell("In stock", ""),
    cell("Short", total.short_beads ? counted(total.short_beads, "bead") : ""),
    cell("To buy", ""),
    cell("Cost", total.cost === null ? "–" : money(total.cost, kit), "", "cost"),
  ];
}

/** @param {KitReport} kit */
function threadLine({ thread, needle, make }) {
  const metres = `${number(Math.ceil(thread.each_mm / 10) / 100)} m`;
  const each = make > 1 ? " for each band" : "";
  const eye = needle ? `, needle size ${needle.size}` : "";
  return `Thread ${number(thread.diameter_mm)} mm: ${metres}${each}${eye}.`;
}
