// What the page works on: the chart with its history, the palette, the picture, the colour in use.

import { markEdited, writeChart } from "./chart.js";
import { baseName, fileNameFrom } from "./files.js";

/** @typedef {import("./chart.js").Chart} Chart @typedef {import("./chart.js").Colour} Colour */
/** @typedef {import("./history.js").History} History */
/** @typedef {import("./history.js").Entry} Entry */
/** @import { FactsAnswer, FindingReport, StartAnswer, WarningReport } from "../answers.d.ts" */
/** @import { PaletteColourReport } from "../answers.d.ts" */
/**
 * @typedef {Colour & {grams?: number | null, per_gram?: number | null, price?: number | null}}
 *   PaletteColour
 */
/**
 * @typedef {{id: string, name: string, file: string, text: string,
 *   colours: PaletteColourReport[], columns: string[], currency: string | null}}
 *   Palette A palette that the server has read.
 */
/** @typedef {FindingReport} Problem Something that the check found. */
/** @typedef {FactsAnswer} Facts What the server says about a chart. */

/**
 * What a new design is kept under.
 * @returns {string}
 */
export function newDesignId() {
  return crypto.randomUUID?.() ?? String(Math.random());
}

export const state = {
  /** What the server said when the page opened. @type {StartAnswer} */
  setup: {
    version: "",
    file: null,
    palettes: [],
    beads: [],
    sizes: [],
    gauge: null,
    kinds: [],
    offers: [],
  },
  /** @type {History | null} */
  history: null,
  /** The text that the first chart came with, saved as it is while nothing has changed. */
  originalText: "",
  /** The last edit when the chart was saved; null if it was saved before any. @type {unknown} */
  savedEntry: null,
  /** The name of the chart's file. */
  file: "",
  /** Under what the browser keeps the design that is open. */
  design: newDesignId(),
  /** @type {Palette | null} */
  palette: null,
  /** @type {import("./crop.js").Picture | null} */
  picture: null,
  /**
   * Whether the picture is the one that the opened chart was made of: then the picture is charted
   * only when the user asks for it.
   */
  isSourcePicture: false,
  /**
   * What the form said when the picture was charted.
   * @type {Record<string, string | boolean> | null}
   */
  chartedWith: null,
  /** The colour in use. @type {Colour | null} */
  colour: null,
  /** Colours beside those of the chart that the user has used. @type {PaletteColour[]} */
  addedColours: [],
  /** Colours that are offered while the chart has few. @type {PaletteColour[]} */
  suggestedColours: [],
  /** Codes of the colours that are always and never used when the picture is charted. */
  keptColours: new Set(/** @type {string[]} */ ([])),
  excludedColours: new Set(/** @type {string[]} */ ([])),
  /** @type {Facts | null} */
  facts: null,
  /** The bead keys that the server sent last, and the colours that they are for. */
  beadKeys: {
    colours: /** @type {Colour[]} */ ([]),
    keys: /** @type {string[]} */ ([]),
  },
  /** The number of the selected problem, or -1. */
  selectedProblem: -1,
  /** What the server remarked when it charted the picture. @type {WarningReport[]} */
  notes: [],
  /**
   * The report on the chart that the server made last.
   * @type {{chart: Chart, text: string} | null}
   */
  lastReport: null,
  /** Whether the swatches are sorted again, since the chart was replaced. */
  sortSwatches: true,
  /** Whether the page has opened and taken up stored work. */
  isReady: false,
  /** Whether the browser refuses to store work. */
  isStorageRefused: false,
  /** Whether the browser has stored the work as it is now. */
  isStored: false,
};

/** @returns {Chart} */
export function currentChart() {
  if (!state.history) throw new Error("there is no chart yet");
  return state.history.chart;
}

/**
 * The colour in use.
 * @returns {Colour}
 */
export function currentColour() {
  return state.colour ?? currentChart().colours[0];
}

/** The chart's text, to be saved or exported. */
export function chartText() {
  const { history, originalText } = state;
  if (!history) return "";
  if (!history.done.length && originalText) return originalText;
  const isEdited = history.isEdited() || history.isRecoloured();
  return writeChart(isEdited ? markEdited(history.chart) : history.chart);
}

/** Whether the chart has changed since it was saved. */
export function isUnsaved() {
  return (state.history?.done.at(-1) ?? null) !== state.savedEntry;
}

/** The name of the chart's file, or the name that it would get. */
export function fileName() {
  if (state.file) return state.file;
  const picture = state.picture ? baseName(state.picture.name) : "band";
  return fileNameFrom(currentChart().title ?? picture, "json");
}

/**
 * Whether the server offers a function.
 * @param {string} name
 */
export function isOffered(name) {
  return state.setup.offers.includes(name);
}

/** The palette as the server knows it; undefined without a palette. */
export function paletteId() {
  return state.palette ? { id: state.palette.id } : undefined;
}
