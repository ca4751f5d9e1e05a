// A band before and after it was refined, side by side: it is taken or left.

import { beadCounts } from "./chart.js";
import { requestJson, RequestError } from "./api.js";
import { create, element, get, onClick } from "./dom.js";
import { counted, number, tenths } from "./format.js";
import { withUploads } from "./requests.js";
import { RingView } from "./ring.js";
import { fileName, state } from "./state.js";
import { drawStrip } from "./strip.js";

/** @typedef {import("./chart.js").Chart} Chart */
/** @typedef {import("../answers.d.ts").CompareReport} Comparison */
/** @typedef {{chart: Chart, text: string}} Side */

/** How far away a ring is seen that is worn, in millimetres. */
const WORN = 700;
/** How well a motif is visible. @type {Record<string, string>} */
const READS = { well: "reads well", low_contrast: "low contrast", lost: "not visible" };
/** Room for the flat band, in CSS pixels. */
const ROOM = { width: 300, height: 60 };

/** Ends the question that is open. @type {(isTaken: boolean) => void} */
let answer = () => undefined;

/** Connects the buttons; closing the dialog leaves the band as it was. */
export function listenToRefinement() {
  const dialog = get("refinement", HTMLDialogElement);
  onClick("refinement-take", () => {
    answer(true);
    dialog.close();
  });
  onClick("refinement-leave", () => dialog.close());
  dialog.addEventListener("close", () => answer(false));
}

/**
 * Asks whether the refined band is taken.
 * @param {Side} before
 * @param {Side} after
 * @returns {Promise<boolean>}
 */
export function askRefinement(before, after) {
  const changed = after.chart.beads.reduce(
    (sum, colour, bead) =>
      sum + Number(codeAt(after, colour) !== codeAt(before, before.chart.beads[bead])),
    0,
  );
  element("refinement-changed").textContent =
    `${counted(changed, "bead")} of ${number(after.chart.beads.length)} would change.`;
  get("refinement", HTMLDialogElement).showModal();
  showSide("refinement-before", before);
  showSide("refinement-after", after);
  void showFigures([before, after]);
  return new Promise((done) => {
    answer = done;
  });
}

/**
 * @param {Side} side
 * @param {number} colour
 */
function codeAt({ chart }, colour) {
  return chart.colours[colour].code;
}

/**
 * @param {string} id
 * @param {Side} side
 */
function showSide(id, { chart }) {
  const side = element(id);
  const strip = create("canvas", { class: "refinement-strip", "aria-hidden": "true" });
  const ring = create("canvas", { class: "refinement-ring", "aria-hidden": "true" });
  side.replaceChildren(ring, strip, create("dl", { class: "figures" }));
  const width = Math.min(ROOM.width, side.clientWidth || ROOM.width);
  drawStrip(strip, chart, { width, height: ROOM.height });
  ring.hidden = !chart.closed;
  if (chart.closed) new RingView(ring).show(chart);
}

/**
 * Shows the figures that matter as soon as the program has them, the better one of two in bold.
 * @param {[Side, Side]} sides
 */
async function showFigures(sides) {
  const lists = ["refinement-before", "refinement-after"].map((id) =>
    element(id).querySelector("dl"),
  );
  /** @type {ReturnType<typeof figuresOf>[]} */
  const figures = [];
  for (const side of sides) {
    const comparison = await compare(side);
    figures.push(figuresOf(side, comparison));
  }
  if (!get("refinement", HTMLDialogElement).open) return;
  lists.forEach((list, at) => {
    const other = figures[1 - at];
    const items = figures[at].flatMap(({ term, words, amount }, nth) => {
      const isBetter = amount < other[nth].amount;
      return [create("dt", {}, term), create("dd", { class: isBetter ? "better" : "" }, words)];
    });
    list?.replaceChildren(...items);
  });
}

/**
 * @param {Side} side
 * @returns {Promise<Comparison | undefined>}
 */
async function compare({ text }) {
  const { picture } = state;
  if (!picture) return undefined;
  const body = { chart: text, name: fileName(), picture: picture.id, distances: String(WORN) };
  try {
    return await withUploads(() => requestJson("compare", { body }));
  } catch (cause) {
    if (cause instanceof RequestError) return undefined;
    throw cause;
  }
}

/**
 * The figures of a side; of `amount`, less is better.
 * @param {Side} side
 * @param {Comparison | undefined} comparison
 */
function figuresOf({ chart }, comparison) {
  const used = beadCounts(chart).filter(Boolean).length;
  const figures = [{ term: "Colours", words: number(used), amount: used }];
  if (!comparison) return figures;
  const { stray_beads, colour_changes, legible, seen } = comparison;
  const motif = legible?.seen[0];
  const difference = seen[0]?.mean ?? 0;
  figures.push(
    { term: "Stray beads", words: number(stray_beads), amount: stray_beads },
    { term: "Colour changes", words: number(colour_changes), amount: colour_changes },
  );
  if (motif) {
    figures.push({ term: "Worn", words: READS[motif.reads], amount: -motif.contrast });
  }
  figures.push({
    term: "Off the picture",
    words: tenths(difference),
    amount: Math.round(difference * 10),
  });
  return figures;
}
