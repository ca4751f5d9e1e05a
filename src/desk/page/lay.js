// Lays out anew what the page shows when something has changed.

import * as charts from "./chart.js";
import { drawHeap, grams, layDishes } from "./dishes.js";
import { counted, get, make, part, say } from "./dom.js";
import { beadsOf, layFindings, layNotes, layNumbers } from "./facts.js";
import * as lattice from "./lattice.js";
import { wish } from "./picture.js";
import { chart, desk, hand, isUnsaved } from "./state.js";
import { ground, isOwned, others } from "./colours.js";
import { given, hands, mat } from "./table.js";

/** @typedef {import("./chart.js").Chart} Chart @typedef {import("./chart.js").Colour} Colour */

export function layEverything() {
  const { history } = desk;
  if (!history) return;
  layTheDishes();
  layHand();
  layHands();
  layNumbers(history.chart, desk.facts);
  layNotes(desk.notes);
  get("undo", HTMLButtonElement).disabled = !history.done.length;
  get("redo", HTMLButtonElement).disabled = !history.undone.length;
  const title = get("title", HTMLInputElement);
  if (document.activeElement !== title) title.value = history.chart.title ?? "";
  layState();
  const mended = desk.picture !== null && history.isMended();
  part("mended-note").hidden = !(mended || desk.brought);
  part("mended-note").textContent = mended
    ? "You have set beads by hand. What you change here waits: refine round them, or chart the picture afresh without them."
    : "This is the picture that the band was made of. The band stays as it is until you press a button.";
  part("refine-round").hidden = !(mended || desk.brought) || !(desk.begin.offers ?? []).includes("refine");
  part("refine-round").textContent = mended ? "Refine round my beads" : "Refine this band";
  part("pin-field").hidden = part("refine-round").hidden;
}

/** Says where the work is; that it is kept only when the browser has stored it. */
export function layState() {
  const { history } = desk;
  if (!history) return;
  const unsaved = desk.refused ? "not saved" : desk.kept ? "kept in this browser, not in a file" : "being kept …";
  part("state").textContent = isUnsaved() ? unsaved : history.done.length || desk.file ? "saved" : "nothing to save";
  part("state").classList.toggle("unsaved", isUnsaved());
}

export function layTheDishes() {
  const now = chart();
  const counts = charts.counts(now);
  const kit = new Map((desk.facts?.kit?.colours ?? []).map((/** @type {any} */ colour) => [colour.code, colour]));
  const stock = new Map(desk.palette?.colours.map((colour) => [colour.code, colour]));
  /** @type {import('./dishes.js').Dish[]} */
  const dishes = now.colours.map((colour, nth) => {
    const needed = kit.get(colour.code);
    const sameCount = needed?.beads_each === counts[nth];
    return {
      colour,
      count: counts[nth],
      grams: sameCount ? needed.grams : null,
      lacking: sameCount ? (needed.short_beads ?? 0) : 0,
      owned: isOwned(colour.code),
      pinned: desk.pinned.has(colour.code),
      banned: desk.banned.has(colour.code),
      inHand: charts.isSame(hand(), colour),
    };
  });
  const more = others(now);
  for (const colour of more) {
    dishes.push({
      colour: stock.get(colour.code) ?? colour,
      count: 0,
      grams: null,
      lacking: 0,
      owned: isOwned(colour.code),
      pinned: desk.pinned.has(colour.code),
      banned: desk.banned.has(colour.code),
      inHand: charts.isSame(hand(), colour),
    });
  }
  stand(dishes);
  part("mat").classList.toggle("many-dishes", dishes.length > 12);
  part("mat").classList.toggle("broad", now.columns * 2.4 > now.rows);
  layDishes(dishes, given.takeInHand);
}

/** The codes of the dishes as they stand. @type {string[]} */
let standing = [];

/** Dishes stand by their count when a band is charted or opened; then they stay where they are, whatever is drawn. @param {import('./dishes.js').Dish[]} dishes */
function stand(dishes) {
  if (desk.fresh) standing = [];
  desk.fresh = false;
  const place = new Map(standing.map((code, at) => [code, at]));
  const at = (/** @type {import('./dishes.js').Dish} */ dish) => place.get(dish.colour.code) ?? standing.length;
  dishes.sort((one, other) => at(one) - at(other) || other.count - one.count);
  standing = dishes.map((dish) => dish.colour.code);
}

/** The dishes' colours in the order they lie in. @returns {Colour[]} */
export function order() {
  const sides = ["dishes-left", "dishes-right"].map((id) => [...part(id).children].map((dish) => /** @type {HTMLElement} */ (dish).dataset.code));
  const codes = sides[0].flatMap((code, nth) => (sides[1][nth] === undefined ? [code] : [code, sides[1][nth]]));
  const all = [...chart().colours, ...desk.out, ...desk.spare];
  return codes.map((code) => all.find((colour) => colour.code === code)).filter((colour) => colour !== undefined);
}

export function layHand() {
  const colour = hand();
  const counts = charts.counts(chart());
  const nth = chart().colours.findIndex((other) => charts.isSame(other, colour));
  const stocked = desk.palette?.colours.find((other) => other.code === colour.code);
  drawHeap(get("hand-heap", HTMLCanvasElement), 52, colour, 40);
  part("hand-name").textContent = colour.name;
  const has = stocked?.grams;
  part("hand-about").textContent = [
    colour.code,
    colour.finish,
    nth >= 0 ? counted(counts[nth], "bead") : "not used yet",
    has === null || has === undefined ? "" : `${grams(has).replace(" ", "\u00a0")} owned`,
  ]
    .filter(Boolean)
    .join(" · ");
  part("hand-own").setAttribute("aria-pressed", String(isOwned(colour.code)));
  part("hand-pin").setAttribute("aria-pressed", String(desk.pinned.has(colour.code)));
  part("hand-ban").setAttribute("aria-pressed", String(desk.banned.has(colour.code)));
  const swap = get("swap", HTMLSelectElement);
  const others = order().filter((other) => other.code !== colour.code);
  const options = [make("option", { value: "" }, "exchange for …"), ...others.map((other) => make("option", { value: other.code }, other.name))];
  swap.replaceChildren(...options);
  swap.value = "";
  swap.disabled = nth < 0 || !counts[nth];
}

export function layHands() {
  if (!desk.history) return;
  const shownTool = hands.tool === "stamp" ? "motif" : hands.tool;
  for (const button of part("hands").querySelectorAll("button")) button.setAttribute("aria-pressed", String(button.dataset.tool === shownTool));
  part("alike-columns").setAttribute("aria-pressed", String(hands.axes.includes("columns")));
  part("alike-rows").setAttribute("aria-pressed", String(hands.axes.includes("rows")));
  const chosen = mat.over.box !== null && hands.stroke === null;
  part("motif-acts").hidden = !(chosen || hands.tool === "stamp");
  for (const act of ["copy", "pour"]) /** @type {HTMLElement} */ (part("motif-acts").querySelector(`[data-act=${act}]`)).hidden = hands.tool === "stamp";
  part("motif-hint").textContent = hands.tool === "stamp" ? "a press lays a copy down" : "drag it, or Alt with arrows, to move it";
  part("stage").dataset.tool = hands.tool;
}

/** @param {number} bead */
export function where(bead) {
  if (!desk.history || bead < 0) {
    part("where").textContent = "";
    return;
  }
  const { row, column } = lattice.place(chart(), bead);
  part("where").textContent = `row ${row}, column ${column} · ${chart().colours[chart().beads[bead]].name}`;
}

export function layTheFindings() {
  const findings = desk.facts?.findings ?? [];
  layFindings(findings, desk.chosenFinding, (nth) => {
    desk.chosenFinding = desk.chosenFinding === nth ? -1 : nth;
    const beads = desk.chosenFinding < 0 ? [] : beadsOf(chart(), findings[nth]);
    mat.over.lit = new Set(beads);
    if (beads.length) {
      mat.over.cursor = beads[0];
      mat.reveal(beads[0]);
      say(`${counted(beads.length, "bead")} marked on the band`);
    }
    mat.soon();
    layTheFindings();
  });
}

export function layPicture() {
  const { picture } = desk;
  part("picture-acts").hidden = !picture;
  part("picture-begin").hidden = picture !== null;
  get("title", HTMLInputElement).placeholder = picture?.name.replace(/\.[^.]*$/, "") || "a band without a name";
  const cover = get("cover", HTMLSelectElement);
  cover.options[1].hidden = !picture;
  if (!picture && cover.value === "mat") cover.value = "";
  part("with-picture").hidden = !picture;
  part("plain-ground").hidden = picture !== null;
  part("remake").textContent = picture ? "Chart the picture" : "Lay a plain band";
}

export function layPalette() {
  const { palette } = desk;
  if (!palette) return;
  const choice = get("palette-choice", HTMLSelectElement);
  const names = desk.begin.palettes.map((/** @type {{name: string}} */ each) => each.name);
  if (!names.includes(palette.file)) names.push(palette.file);
  choice.replaceChildren(...names.map((/** @type {string} */ name) => make("option", { value: name }, name.replace(/\.(csv|gpl)$/i, ""))));
  choice.value = palette.file;
  part("drawer-open").textContent = `Drawer: ${palette.name}`;
  part("drawer-open").title = `${counted(palette.colours.length, "colour")} to take out (D)`;
  for (const [id, first] of [
    ["ground", "as suits"],
    ["plain-colour", ""],
  ]) {
    const select = get(id, HTMLSelectElement);
    const was = select.value;
    const options = palette.colours.map((colour) => make("option", { value: colour.code }, colour.name));
    if (first) options.unshift(make("option", { value: "" }, first));
    select.replaceChildren(...options);
    select.value = was;
    if (!select.value) select.value = first ? "" : ground(palette.colours).code;
  }
}

/** The form's numbers follow the band that is on the mat. @param {Chart} now */
export function putBandIntoForm(now) {
  const bySize = now.made.options.size !== undefined && now.closed;
  const { length_mm, diameter_mm, hole_mm } = now.bead;
  const known = desk.begin.beads.find(
    (/** @type {import("./chart.js").Bead & {name: string}} */ each) => each.length_mm === length_mm && each.diameter_mm === diameter_mm && each.hole_mm === hole_mm,
  );
  wish({
    columns: String(now.columns),
    rows: String(now.rows),
    "length-by": bySize ? "size" : now.closed ? "rows" : "open",
    ...(bySize ? { size: now.made.options.size } : {}),
    ...(known ? { bead: known.name.replace(/\/0$/, "") } : { bead: "own", "bead-own": `${length_mm}x${diameter_mm}x${hole_mm}` }),
  });
}
