// What is asked when the picture is charted, and which of these requests counts.

import { cancel } from "./api.js";
import { isInStock, stockTicks } from "./colours.js";
import { get } from "./dom.js";
import { gauge, readOptions } from "./options.js";
import { fileName, state } from "./state.js";
import { cropFrame } from "./views.js";

/** @typedef {Record<string, unknown>} Body of a request for a chart */

/**
 * Counts requests for charts and other charts that came: an answer counts only if it is the last.
 */
let newest = 0;

/** Begins to chart; what was begun before counts no longer. */
export function beginCharting() {
  newest += 1;
  cancel("propose");
  return newest;
}

/**
 * Whether a chart that was begun still counts.
 * @param {number} nth
 */
export function isNewestCharting(nth) {
  return nth === newest;
}

/** Cancels the charting that is under way, since another chart or picture is opened. */
export function cancelCharting() {
  beginCharting();
  cancel("chart");
}

/** Whether the chart follows the options: as long as no bead has been changed by hand. */
export function followsOptions() {
  if (!state.picture || !state.palette || state.isSourcePicture) return false;
  return !state.history?.isEdited();
}

/**
 * The request for a chart of the picture with the options, or for a plain band.
 * @returns {Body}
 */
export function chartBody() {
  const options = readOptions();
  const palette = /** @type {NonNullable<typeof state.palette>} */ (state.palette);
  const { columns, size, rows, open, bead } = options;
  /** @type {Body} */
  const body = {
    palette: { id: palette.id },
    name: state.history ? fileName() : undefined,
    title: state.history?.chart.title,
  };
  if (!state.picture) {
    const ground = get("plain-colour", HTMLSelectElement).value;
    return { ...body, columns, size, rows, open, bead, ...gauge(), ground };
  }
  const has = (/** @type {string} */ code) => palette.colours.some((each) => each.code === code);
  const ticks = stockTicks();
  const keep = [...state.keptColours].filter(has);
  const without = palette.colours
    .map(({ code }) => code)
    .filter((code) => state.excludedColours.has(code) || !isInStock(code, ticks));
  const { crop } = cropFrame;
  return {
    ...body,
    ...options,
    ground: has(String(options.ground)) ? options.ground : undefined,
    picture: state.picture.id,
    keep: keep.length ? keep : undefined,
    without: without.length ? without : undefined,
    crop: crop ? [crop.x, crop.y, crop.width, crop.height] : undefined,
  };
}
