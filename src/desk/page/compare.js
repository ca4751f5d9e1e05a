// How well the band matches its picture.

import { debounce, element, fillTerms, get, isChecked, valueOf } from "./dom.js";
import { capitalised, number, tenths } from "./format.js";
import { readOptions } from "./options.js";
import { ask } from "./requests.js";
import { chartText, currentChart, fileName, isOffered, state } from "./state.js";
import { renderMessages } from "./summary.js";
import { cropFrame } from "./views.js";

/** What viewing distances are called. @type {Record<string, string>} */
const DISTANCES = { 300: "in the hand", 700: "worn", 2000: "across a table" };
/** How well a motif is visible. @type {Record<string, string>} */
const VISIBILITY = { well: "clear", low_contrast: "low contrast", lost: "not visible" };

export const updateComparisonLater = debounce(() => void updateComparison(), 400);

/**
 * How the picture is placed for the comparison: as the chart says, or as the form says.
 * @returns {Record<string, unknown>}
 */
export function comparisonOptions() {
  const distances = valueOf("compare-distances") || undefined;
  if (!isChecked("compare-as-set")) return { distances };
  const { place, position, rotate, scaling, margin, crisp, ground } = readOptions();
  const { crop } = cropFrame;
  // The server knows colours of the chart by their codes, others by their digits.
  const isInChart = currentChart().colours.some((colour) => colour.code === ground);
  const hex = state.palette?.colours.find((colour) => colour.code === ground)?.hex;
  return {
    distances,
    place,
    position,
    rotate,
    scaling,
    margin: margin ?? 0,
    crisp: crisp ?? 0,
    ground: isInChart ? ground : hex,
    crop: crop ? [crop.x, crop.y, crop.width, crop.height] : undefined,
  };
}

/** Compares the band with its picture while the comparison is unfolded. */
async function updateComparison() {
  const { picture, history } = state;
  const isPossible = picture !== null && history !== null && isOffered("compare");
  element("compare").hidden = !isPossible;
  if (!isPossible || !get("compare", HTMLDetailsElement).open) return;
  const chart = { chart: chartText(), name: fileName(), picture: picture.id };
  const body = { ...chart, ...comparisonOptions() };
  const answer = await ask("compare", { body, channel: "compare" });
  if (!answer) return;
  fillTerms("compare-figures", comparisonRows(answer));
  renderMessages("compare-notes", answer.warnings);
}

/**
 * @param {import("../answers.d.ts").CompareReport} answer
 * @returns {[string, string][]}
 */
function comparisonRows({ seen, beads, colour_changes, stray_beads, legible }) {
  /** @type {[string, string][]} */
  const rows = seen.map((each) => [capitalised(distanceName(each.distance_mm)), difference(each)]);
  rows.push(["Bead by bead", difference(beads)]);
  rows.push(["Colour changes", number(colour_changes)]);
  rows.push(["Stray beads", number(stray_beads)]);
  if (!legible) return rows;
  for (const each of legible.seen) {
    const visibility = `${VISIBILITY[each.reads]}, ${tenths(each.contrast)}:1`;
    rows.push([`Motif, ${distanceName(each.distance_mm)}`, visibility]);
  }
  const { lost_mm } = legible;
  const limit = lost_mm === null ? "20 m or more" : `${tenths(lost_mm / 1000)} m`;
  return [...rows, ["Motif visible to", limit]];
}

/** @param {number} mm */
function distanceName(mm) {
  return DISTANCES[mm] ?? `from ${number(mm)} mm`;
}

/** @param {{mean: number, p95: number}} figures */
function difference({ mean, p95 }) {
  return `${tenths(mean)} · ${tenths(p95)}`;
}
