// From the picture and the options to a chart.

import { cancel, RequestError, requestJson } from "./api.js";
import { autosave } from "./autosave.js";
import { readChart } from "./chart.js";
import { readRecord } from "./chart-record.js";
import { defaultColour, isInStock, stockTicks, suggestColours } from "./colours.js";
import { fetchFactsLater, openChart, replaceChart } from "./commands.js";
import { debounce, get, whileBusy } from "./dom.js";
import { clearError } from "./notices.js";
import { gauge, readOptions, updateFields } from "./options.js";
import { withProgress } from "./progress.js";
import { renderAll } from "./render.js";
import { ask } from "./requests.js";
import { currentChart, currentColour, fileName, state } from "./state.js";
import { cropFrame } from "./views.js";

/** @typedef {import("./chart.js").Chart} Chart */
/** @typedef {Record<string, unknown>} Body of a request for a chart */
/** @typedef {"button" | "option"} Cause the user clicked the button or changed an option */

/** How long options have to rest before the picture is charted, in milliseconds. */
const DELAY = 15;

const chartAgainSoon = debounce(() => {
  if (followsOptions()) void chartPicture("option");
}, DELAY);

/**
 * Counts requests for charts and other charts that came: an answer counts only if it is the last.
 */
let newest = 0;

/** Bodies of requests that were answered, for which the server knows the best position. */
const positioned = /** @type {Set<string>} */ (new Set());

/** Cancels the charting that is under way, since another chart or picture is opened. */
export function cancelCharting() {
  newest += 1;
  cancel("chart");
}

/** Whether the chart follows the options: as long as no bead has been changed by hand. */
function followsOptions() {
  if (!state.picture || !state.palette || state.isSourcePicture) return false;
  return !state.history?.isEdited();
}

/** An option has changed: the picture is charted again, unless changes by hand would be lost. */
export function optionsChanged() {
  updateFields();
  void autosave();
  fetchFactsLater();
  if (!followsOptions()) return;
  // A number that is half typed is not meant yet.
  if (get("options", HTMLFormElement).checkValidity()) chartAgainSoon();
}

/**
 * Charts the picture with the options, or makes a plain band.
 * @param {Cause} cause
 */
export async function chartPicture(cause) {
  if (!state.palette) return;
  const own = ++newest;
  const body = requestBody();
  const key = JSON.stringify({ ...body, title: undefined, name: undefined });
  const isNew = cause === "option" && !positioned.has(key);
  const position = isNew ? positionSoFar(body) : undefined;
  const name = state.picture?.name;
  const what = name ? `Charting ${name}` : "Making the band";
  const work = async () => {
    if (position) await showMeanwhile({ ...body, position }, own);
    if (own !== newest) return undefined;
    return ask("chart", { body, channel: "chart" }, { about: name });
  };
  const answer = await whileBusy(() => withProgress(what, work, cancelCharting));
  if (!answer || own !== newest) return;
  positioned.add(key);
  showChart(answer, cause);
}

/** @returns {Body} */
function requestBody() {
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

/**
 * The position of the motif on the band. It takes the server a while to find the best one; until
 * then the motif is shown where it was.
 * @param {Body} body
 */
function positionSoFar(body) {
  const { place, position } = readRecord(state.history?.chart.made.options ?? {});
  const isAutomatic = body.place === "motif" && body.position === undefined;
  return isAutomatic && place === "motif" ? position : undefined;
}

/**
 * Shows the chart with the motif where it was. That this position does not suit the new band is no
 * error, since a better one follows.
 * @param {Body} body
 * @param {number} own
 */
async function showMeanwhile(body, own) {
  try {
    const first = await requestJson("chart", { body, channel: "chart" });
    if (own === newest) showChart(first, "option");
  } catch (error) {
    if (!(error instanceof RequestError)) throw error;
  }
}

/**
 * @param {import("../answers.d.ts").ChartAnswer} answer
 * @param {Cause} cause
 */
function showChart(answer, cause) {
  clearError();
  state.notes = answer.summary.warnings;
  state.isSourcePicture = false;
  if (!state.history) {
    openChart(readChart(answer.text), { text: answer.text, file: "" });
    return;
  }
  // Beads that were set while the answer was on its way are not thrown away.
  if (cause === "option" && state.history.isEdited()) return;
  const chart = withTitle(readChart(answer.text), currentChart().title);
  const { picture } = state;
  replaceChart(chart, picture ? `charted from ${picture.name}` : "plain band");
  state.lastReport = { chart: currentChart(), text: answer.document };
  if (!chart.colours.some((colour) => colour.code === currentColour().code)) {
    state.colour = defaultColour(chart);
  }
  suggestColours();
  renderAll();
}

/**
 * The chart under the title that the design has now: it may have changed since the request.
 * @param {Chart} chart
 * @param {string | undefined} title
 * @returns {Chart}
 */
function withTitle({ title: _title, ...chart }, title) {
  return title === undefined ? chart : { ...chart, title };
}
