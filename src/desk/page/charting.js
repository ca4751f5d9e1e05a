// From the picture and the options to a chart.

import { RequestError, requestJson } from "./api.js";
import { autosave } from "./autosave.js";
import { readChart } from "./chart.js";
import { readRecord } from "./chart-record.js";
import {
  beginCharting,
  cancelCharting,
  chartBody,
  followsOptions,
  isNewestCharting,
} from "./chart-request.js";
import { defaultColour, suggestColours } from "./colours.js";
import { fetchFactsLater, openChart, replaceChart } from "./commands.js";
import { debounce, element, get, whileBusy } from "./dom.js";
import { clearFieldErrors } from "./field-errors.js";
import { clearError } from "./notices.js";
import { updateFields } from "./options.js";
import { withProgress } from "./progress.js";
import { proposeLater } from "./proposals.js";
import { renderAll, renderFormFooter } from "./render.js";
import { ask } from "./requests.js";
import { resizeDrawn } from "./resize-drawn.js";
import { markCharted } from "./waiting.js";
import { currentChart, currentColour, state } from "./state.js";

/** @typedef {import("./chart.js").Chart} Chart */
/** @typedef {import("./chart-request.js").Body} Body */
/** @typedef {"button" | "option"} Cause the user clicked the button or changed an option */

/** How long options have to rest before the picture is charted, in milliseconds. */
const DELAY = 15;

const chartAgainSoon = debounce(() => {
  if (followsOptions()) void chartPicture("option");
}, DELAY);

/** Bodies of requests that were answered, for which the server knows the best position. */
const positioned = /** @type {Set<string>} */ (new Set());

/**
 * An option has changed: the picture is charted again, unless changes by hand would be lost. The
 * size of the band is changed in either case.
 * @param {string} [field] the id of its field
 */
export function optionsChanged(field) {
  updateFields();
  void autosave();
  fetchFactsLater();
  if (!followsOptions()) {
    renderFormFooter();
    return resizeDrawn(field);
  }
  // A number that is half typed is not meant yet.
  if (get("options", HTMLFormElement).checkValidity()) chartAgainSoon();
}

/**
 * Charts the picture with the options, or makes a plain band.
 * @param {Cause} cause
 */
export async function chartPicture(cause) {
  if (!state.palette) return;
  const own = beginCharting();
  const body = chartBody();
  const key = JSON.stringify({ ...body, title: undefined, name: undefined });
  const isNew = cause === "option" && !positioned.has(key);
  const position = isNew ? positionSoFar(body) : undefined;
  const name = state.picture?.name;
  const what = name ? `Charting ${name}` : "Making the band";
  const work = async () => {
    if (position) await showMeanwhile({ ...body, position }, own);
    if (!isNewestCharting(own)) return undefined;
    return ask("chart", { body, channel: "chart" }, { about: name });
  };
  const answer = await whileBusy(() => withProgress(what, work, cancelCharting));
  if (!answer || !isNewestCharting(own)) return;
  positioned.add(key);
  showChart(answer, cause);
  proposeLater();
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
    if (isNewestCharting(own)) showChart(first, "option");
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
  clearFieldErrors(element("options"));
  state.notes = answer.summary.warnings;
  state.isSourcePicture = false;
  markCharted();
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
