// A finished chart again: refined round the beads that stay, moved onto another palette; how near it comes to its picture, and the sizes beside its own.

import * as asking from "./ask.js";
import * as charts from "./chart.js";
import * as lattice from "./lattice.js";
import { atWork, calmly, counted, get, make, number, part, say } from "./dom.js";
import { bead, gauge, seenFor, wish, wishes } from "./picture.js";
import { chart, desk, fileName, hand, textOf } from "./state.js";
import { capital } from "./facts.js";
import { fault } from "./notice.js";
import { layEverything } from "./lay.js";
import { heed, remembering } from "./program.js";
import { act } from "./deeds.js";
import { wishesChanged } from "./make.js";
import { strongest } from "./colours.js";
import { frame } from "./table.js";

/** Whether the palette in the drawer has every colour of the band. */
function suits() {
  return chart().colours.every((colour) => desk.palette?.colours.some((other) => charts.isSame(other, colour)));
}

/** Puts a chart made anew in the place of the one on the mat; it counts as mended by hand, so that no change of a wish throws it away unasked.
 * @param {{text: string, document: string}} made @param {string} said */
function replace({ text, document }, said) {
  act({ kind: "all", parts: [{ kind: "whole", from: chart(), to: charts.read(text) }] }, said);
  desk.told = { chart: chart(), text: document };
  const known = [...chart().colours, ...(desk.palette?.colours ?? [])];
  const stays = desk.hand !== null && known.some((colour) => charts.isSame(colour, hand())) && !charts.namesake(chart(), hand());
  if (!stays) desk.hand = strongest(chart());
  layEverything();
}

export async function refineRound() {
  const { picture, palette, history } = desk;
  if (!picture || !history) return;
  const beads = history.mendedBeads();
  if (!beads) {
    fault({ what: "rows or columns have moved since the picture was charted", hint: "take that back, or chart the picture anew" });
    return;
  }
  const now = chart();
  const rows = get("pin", HTMLInputElement).value.trim();
  const pin = beads.map((each) => lattice.place(now, each)).map(({ row, column }) => `${row}:${column}`);
  if (rows) pin.push(rows);
  const answer = await atWork(() =>
    heed(() =>
      remembering(() =>
        asking.ask("refine", {
          lane: "chart",
          body: {
            chart: textOf(),
            name: fileName(),
            picture: picture.id,
            palette: palette && suits() ? { id: palette.id } : undefined,
            pin: pin.length ? pin.join(",") : undefined,
            seen: seenFor(),
            calm: Number(get("calm", HTMLInputElement).value) || undefined,
          },
        }),
      ),
    ),
  );
  if (!answer || chart() !== now) return;
  replace(answer, beads.length ? `refined round ${counted(beads.length, "bead")} of yours` : "the band refined");
}

export async function swapOnto() {
  const { palette } = desk;
  if (!palette) return;
  const now = chart();
  const answer = await heed(() =>
    remembering(() => asking.ask("swap", { body: { chart: textOf(), name: fileName(), palette: { id: palette.id } } })),
  );
  if (!answer || chart() !== now) return;
  replace(answer, `the band moved onto ${palette.name}`);
  layOffer();
}

/** Offers to move the band where the drawer lacks some of its colours. */
export function layOffer() {
  part("swap-offer").hidden = !desk.history || suits() || !(desk.begin.offers ?? []).includes("swap");
  if (!part("swap-offer").hidden) part("swap-why").textContent = "The band has colours that this palette lacks.";
}

/** Says why a colour of the drawer cannot be taken, and offers what helps. @param {import('./chart.js').Colour} colour @param {import('./chart.js').Colour} other the band's */
export function offerFor(colour, other) {
  layOffer();
  const words = `The band has another colour called ${colour.code}: ${other.name}, not ${colour.name}. Move the band onto this palette first.`;
  part("swap-why").textContent = words;
  say(words);
  if (!part("swap-offer").hidden) get("swap-onto", HTMLButtonElement).focus();
}

/** What a distance is called. @type {Record<string, string>} */
const FROM = { 300: "In the hand", 700: "Worn", 2000: "Across a table" };

export const nearLater = calmly(() => void askNear(), 400);

/** How the picture is measured beside the band, as the command line has it. @returns {Record<string, unknown>} */
export function measured() {
  const seen = get("near-seen", HTMLInputElement).value.trim() || undefined;
  if (!get("near-laid", HTMLInputElement).checked) return { seen };
  const { place, turn, fit, margin, crisp, ground } = wishes();
  const { crop } = frame;
  const known = chart().colours.some((colour) => colour.code === ground);
  const hex = desk.palette?.colours.find((colour) => colour.code === ground)?.hex;
  return { seen, place, turn, fit, margin: margin ?? 0, crisp: crisp ?? 0, ground: known ? ground : hex, crop: crop ? [crop.x, crop.y, crop.width, crop.height] : undefined };
}

/** How a motif reads. @type {Record<string, string>} */
const READS = { well: "reads well", softly: "reads softly", lost: "is lost" };

/** How far the band looks from its picture, while that is unfolded. */
async function askNear() {
  const { picture, history } = desk;
  const known = picture !== null && history !== null && (desk.begin.offers ?? []).includes("compare");
  part("near").hidden = !known;
  if (!known || !get("near", HTMLDetailsElement).open) return;
  const { seen, ...laid } = measured();
  const answer = await heed(() =>
    remembering(() => asking.ask("compare", { body: { chart: textOf(), name: fileName(), picture: picture.id, seen, laid }, lane: "near" })),
  );
  if (!answer) return;
  const tenth = (/** @type {number} */ value) => number(Math.round(value * 10) / 10);
  const off = (/** @type {{mean: number, p95: number}} */ each) => `${tenth(each.mean)} · up to ${tenth(each.p95)}`;
  const from = (/** @type {number} */ mm) => FROM[mm] ?? `From ${number(mm)} mm`;
  /** @type {[string, string][]} */
  const rows = answer.seen.map((/** @type {any} */ each) => [from(each.distance_mm), off(each)]);
  rows.push(["Bead by bead", off(answer.beads)], ["Colour changes", number(answer.colour_changes)], ["Beads that touch no like bead", number(answer.alone)]);
  if (answer.legible) {
    for (const each of answer.legible.seen) rows.push([`Motif, ${from(each.distance_mm).toLowerCase()}`, `${READS[each.reads]}, ${tenth(each.contrast)} to 1`]);
    const { lost_mm } = answer.legible;
    rows.push(["Motif lost", lost_mm === null ? "not within 20 m" : `from ${tenth(lost_mm / 1000)} m`]);
  }
  part("near-numbers").replaceChildren(...rows.flatMap(([name, value]) => [make("dt", {}, name), make("dd", {}, value)]));
  part("near-notes").replaceChildren(...answer.notes.map((/** @type {string} */ note) => make("li", {}, capital(note))));
}

export const besideLater = calmly(() => void askBeside(), 150);

/** The row counts beside the one that was chosen for a size, while they are unfolded. */
async function askBeside() {
  const size = get("size", HTMLInputElement).value.trim();
  const bySize = get("length-by", HTMLSelectElement).value === "size" && size !== "";
  part("beside").hidden = !bySize || !(desk.begin.offers ?? []).includes("fit");
  if (!bySize || !get("beside", HTMLDetailsElement).open) return;
  const columns = Number(get("columns", HTMLInputElement).value);
  const answer = await heed(() => asking.ask("fit", { body: { size, columns, bead: bead(), ...gauge() }, lane: "fit" }));
  if (!answer) return;
  part("beside-about").textContent = aboutFit(answer);
  part("beside-advice").replaceChildren(...answer.warnings.map((/** @type {{text: string}} */ each) => make("li", {}, capital(each.text))));
  part("beside-rows").replaceChildren(
    ...answer.near.map((/** @type {Near} */ each) => {
      const label = each.us === null ? `ISO ${each.iso}` : `US ${number(each.us)}`;
      const button = make("button", { type: "button", "aria-pressed": String(each.rows === answer.rows) }, `${each.rows} rows`);
      const more = [`${each.circumference_mm.toFixed(1)} round`, each.uk ? `UK ${each.uk.replace(" 1/2", "½")}` : "", `ISO ${each.iso}`, each.jp ? `JP ${each.jp}` : ""];
      button.append(
        make("span", {}, `${each.diameter_mm.toFixed(2)} mm`),
        make("span", {}, label),
        make("span", { class: "beside-more" }, more.filter(Boolean).join(" · ")),
      );
      button.addEventListener("click", () => takeRows(each.rows));
      return make("li", {}, button);
    }),
  );
}

/** @typedef {{rows: number, diameter_mm: number, circumference_mm: number, us: number | null, iso: number, uk: string | null, jp: number | null}} Near */

/** The rows that close, the band and its gauge, in words. @param {any} answer */
function aboutFit({ size, rows, rows_range, wanted_diameter_mm, width_mm, pitch_mm, gauge }) {
  const range = rows_range && rows_range[0] !== rows_range[1] ? ` with touching beads, ${rows_range[0]} with a loose hand` : "";
  const from = gauge.from ? `by ${gauge.file ? "the remembered " : ""}${gauge.from}` : "beads taken as touching";
  return `${size}, ${number(wanted_diameter_mm)} mm inside: ${rows} rows${range}. The band is ${number(width_mm)} mm wide; ${number(pitch_mm)} mm from bead to bead, ${from}.`;
}

/** @param {number} rows */
function takeRows(rows) {
  wish({ "length-by": "rows", rows: String(rows) });
  part("beside").hidden = true;
  get("rows", HTMLInputElement).focus();
  say(`${rows} rows`);
  wishesChanged();
}
