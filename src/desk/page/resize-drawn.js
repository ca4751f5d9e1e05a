// Columns, rows and ring size of a band that was drawn or opened, as the form says them: its beads
// stay. Rows change in plain rows away from the motif, columns at the edges.

import { RequestError, requestJson } from "./api.js";
import { readChart, writeChart } from "./chart.js";
import { cancelCharting } from "./chart-request.js";
import { replaceResized } from "./commands.js";
import { announce, debounce, element, get, valueOf } from "./dom.js";
import { clearFieldErrors, ownError, setFieldError } from "./field-errors.js";
import { number } from "./format.js";
import { LIMITS, isSameShape } from "./lattice.js";
import { showError } from "./notices.js";
import { gauge } from "./options.js";
import { withColumnCount, withRowCount } from "./reshape.js";
import { currentChart, fileName, isOffered, state } from "./state.js";

/** @typedef {import("./chart.js").Chart} Chart */

/** Fields that say how long the band is. */
const LENGTH = ["length-by", "size", "rows", "swatch", "fits", "prefer"];
/** How long a field rests before the band follows, in milliseconds. */
const DELAY = 200;

/** The band before the fields that changed one after another, and whether its length is meant. */
const series = {
  /** @type {Chart | null} */
  base: null,
  /** The band as it was resized last. @type {Chart | null} */
  last: null,
  isLength: false,
};
let newest = 0;

const resizeSoon = debounce(() => void resize(), DELAY);

/**
 * The band follows a field of its size, where it does not follow the picture.
 * @param {string | undefined} field the id of the field that changed
 */
export function resizeDrawn(field) {
  if (!state.history || !field || !isOffered("resize")) return;
  if (field !== "columns" && !LENGTH.includes(field)) return;
  const chart = currentChart();
  if (chart !== series.last) Object.assign(series, { base: chart, last: chart, isLength: false });
  series.isLength ||= LENGTH.includes(field);
  newest += 1;
  resizeSoon();
}

async function resize() {
  const own = newest;
  const { base, last, isLength } = series;
  if (!base || currentChart() !== last) return;
  const columns = get("columns", HTMLInputElement);
  const rows = get("rows", HTMLInputElement);
  if (ownError(columns) || ownError(rows)) return;
  const wide = withColumnCount(base, Number(columns.value));
  if (!wide) return setFieldError(columns, tooMany());
  const chart = isLength ? await withLength(wide) : wide;
  if (!chart || own !== newest || currentChart() !== last) return;
  cancelCharting();
  clearFieldErrors(element("options"));
  if (isSameBand(chart, currentChart())) return;
  replaceResized(base, chart);
  series.last = currentChart();
}

/**
 * Whether two charts have the same beads: what only says the same length differently is no edit.
 * @param {Chart} one
 * @param {Chart} other
 */
function isSameBand(one, other) {
  if (!isSameShape(one, other)) return false;
  return one.beads.every((bead, at) => bead === other.beads[at]);
}

function tooMany() {
  return `A band can have up to ${number(LIMITS.beads)} beads.`;
}

/**
 * The band in the length that the form says; undefined if it cannot be, which is said beside the
 * field.
 * @param {Chart} chart
 * @returns {Promise<Chart | undefined>}
 */
async function withLength(chart) {
  const by = valueOf("length-by");
  const rows = Number(valueOf("rows"));
  if (by === "open") {
    const strip = withRowCount({ ...chart, closed: false }, rows);
    if (!strip) setFieldError(get("rows", HTMLInputElement), tooMany());
    return strip;
  }
  if (by === "rows" && (chart.columns * rows) / 2 > LIMITS.beads) {
    setFieldError(get("rows", HTMLInputElement), tooMany());
    return undefined;
  }
  const length = by === "size" ? { size: valueOf("size"), ...gauge() } : { rows };
  const ring = chart.closed ? chart : closed(chart);
  const body = { chart: writeChart(ring), name: fileName(), ...length };
  try {
    return readChart((await requestJson("resize", { body, channel: "resize" })).text);
  } catch (cause) {
    if (!(cause instanceof RequestError)) throw cause;
    if (cause.kind === "fault") {
      showError(cause.fault);
      announce("The band stays as it is");
    }
    return undefined;
  }
}

/**
 * A strip closed into a ring: one more row where its count is odd.
 * @param {Chart} strip
 * @returns {Chart}
 */
function closed(strip) {
  const even = Math.max(LIMITS.rows.leastClosed, strip.rows + (strip.rows % 2));
  return { ...(withRowCount(strip, even) ?? strip), closed: true };
}
