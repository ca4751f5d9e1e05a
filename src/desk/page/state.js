// What lies on the desk: the chart with its history, the palette, the picture, the colour in hand.

import * as charts from "./chart.js";
import * as files from "./files.js";

/** @typedef {import("./chart.js").Chart} Chart @typedef {import("./chart.js").Colour} Colour */
/** @typedef {import("./dishes.js").Stocked} Stocked */

/** @typedef {{id: string, name: string, file: string, text: string, colours: Stocked[]}} Palette A palette that the program has read. */

export const desk = {
  /** What the program told at the start. @type {any} */
  begin: { palettes: [], beads: [], sizes: [], kinds: [], offers: [] },
  /** @type {charts.History | null} */
  history: null,
  /** The text the first chart came with, to be saved as it is as long as nothing changed. */
  origin: "",
  /** The deed after which the chart was saved last. @type {unknown} */
  saved: null,
  /** The name of the file. */
  file: "",
  /** @type {Palette | null} */
  palette: null,
  /** @type {import('./picture.js').Picture | null} */
  picture: null,
  /** Dishes on the mat beside those of the chart, taken out by hand. @type {Stocked[]} */
  out: [],
  /** Dishes that stand ready while the chart has few colours. @type {Stocked[]} */
  spare: [],
  /** @type {Colour | null} */
  hand: null,
  pinned: new Set(/** @type {string[]} */ ([])),
  banned: new Set(/** @type {string[]} */ ([])),
  /** @type {import('./facts.js').Facts | null} */
  facts: null,
  chosenFinding: -1,
  /** @type {string[]} */
  notes: [],
  /** Whether the picture is that of the chart that was opened, which nothing is charted anew from unasked. */
  brought: false,
  /** What `--json` says of the chart that was made last, and that chart. @type {{chart: Chart, text: string} | null} */
  told: null,
  /** Whether the band was charted or opened just now. */
  fresh: true,
  ready: false,
  refused: false,
  /** Whether the browser has stored the work as it is now. */
  kept: false,
};

/** @typedef {{command: charts.Command, said: string, file?: {from: string, to: string}}} Deed what was done, and the file's name before and after where it
 * opened another */

/** @returns {Chart} */
export function chart() {
  if (!desk.history) throw new Error("there is no chart yet");
  return desk.history.chart;
}

/** @returns {Colour} */
export function hand() {
  return desk.hand ?? chart().colours[0];
}

/** The chart's text to be saved or handed on. */
export function textOf() {
  const { history } = desk;
  if (!history) return "";
  if (!history.done.length && desk.origin) return desk.origin;
  return charts.write(history.isMended() ? charts.mended(history.chart) : history.chart);
}

export function isUnsaved() {
  return (desk.history?.done.at(-1) ?? null) !== desk.saved;
}

/** What the chart's file is called, or would be. */
export function fileName() {
  return desk.file || files.named(chart().title ?? desk.picture?.name.replace(/\.[^.]*$/, "") ?? "band", "json");
}
