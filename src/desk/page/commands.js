// What the user does to the chart: edits with undo and redo, and what follows from them.

import { chartColour, mostCommonColour } from "./chart.js";
import { autosave } from "./autosave.js";
import { defaultColour, suggestColours } from "./colours.js";
import { updateDistanceView } from "./distance-view.js";
import { announce, debounce, get } from "./dom.js";
import * as edits from "./edits.js";
import { fetchFacts } from "./facts.js";
import { forgetSavedFile } from "./files.js";
import { capitalised, counted } from "./format.js";
import { History } from "./history.js";
import * as lattice from "./lattice.js";
import { fillFields } from "./options.js";
import {
  renderAll,
  renderBandFields,
  renderColours,
  renderCurrentColour,
  swatchColours,
} from "./render.js";
import { currentChart, currentColour, state } from "./state.js";
import { drawTrueSize } from "./true-size.js";
import { canvas, cropFrame, ring, tools } from "./views.js";

/** @typedef {import("./chart.js").Chart} Chart @typedef {import("./chart.js").Colour} Colour */
/** @typedef {import("./edits.js").Edit} Edit @typedef {import("./history.js").Entry} Entry */

/** A band of fewer beads is previewed with every edit, a larger one once the edits pause. */
const FEW_BEADS = 3000;

const drawRingLater = debounce(() => ring.show(currentChart()), 180);
export const drawTrueSizeLater = debounce(drawPreview, 120);
/** After the canvas, which draws first. */
const drawTrueSizeNext = debounce(drawPreview, 0);
const updateDistanceViewSoon = debounce(() => void updateDistanceView(), 20);
export const fetchFactsLater = debounce(() => void fetchFacts(), 160);

function drawPreview() {
  drawTrueSize(get("true-band", HTMLCanvasElement), currentChart());
  updateDistanceViewSoon();
}

/**
 * Edits the chart.
 * @param {Edit | null} edit null if nothing changes
 * @param {string} label what the user reads about it
 */
export function run(edit, label) {
  const { history } = state;
  if (!history) return;
  if (!edit) return announce("Nothing changes");
  history.add(edit, label);
  state.sortSwatches ||= edit.kind === "chart";
  announce(capitalised(label));
  refresh(edits.changedBeads(edit));
}

/**
 * Replaces the chart. Replacing it again under the same label is one edit with the first.
 * @param {Chart} chart
 * @param {string} label
 */
export function replaceChart(chart, label) {
  const { history } = state;
  if (!history) return;
  const last = history.done.at(-1);
  const isRepeat = last?.label === label && last.edit.kind === "chart";
  if (isRepeat && last !== state.savedEntry) {
    history.undo();
    history.undone = [];
  }
  run({ kind: "chart", from: history.chart, to: chart }, label);
}

export function undo() {
  const entry = state.history?.undo();
  if (!entry) return announce("There is nothing to undo");
  announce(`Undone: ${entry.label}`);
  followHistory(entry, "from");
}

export function redo() {
  const entry = state.history?.redo();
  if (!entry) return announce("There is nothing to redo");
  announce(`Redone: ${entry.label}`);
  followHistory(entry, "to");
}

/**
 * Goes back or forward to where so many steps are done.
 * @param {number} count
 */
export function stepTo(count) {
  const { history } = state;
  if (!history || history.done.length === count) return;
  const isBack = count < history.done.length;
  const side = isBack ? "from" : "to";
  while (history.done.length !== count) {
    const entry = isBack ? history.undo() : history.redo();
    if (!entry) break;
    if (entry.form) fillForm(entry.form[side]);
    followFile(entry, side);
    state.sortSwatches ||= entry.edit.kind === "chart";
  }
  tools.deselect();
  const last = history.done.at(-1);
  announce(last ? `Back to: ${last.label}` : "Back to how it was opened");
  refresh();
  renderBandFields(currentChart());
}

/**
 * Where a step opened another chart, its file and its design go with it.
 * @param {Entry} entry
 * @param {"from" | "to"} side the file that the chart belongs to now
 */
function followFile({ file, design }, side) {
  if (design) state.design = design[side];
  if (!file) return;
  file[side === "from" ? "to" : "from"] = state.file;
  state.file = file[side];
  forgetSavedFile();
}

/**
 * Shows the chart after undo or redo.
 * @param {Entry} entry
 * @param {"from" | "to"} side the file that the chart belongs to now
 */
function followHistory(entry, side) {
  const { edit, form } = entry;
  tools.deselect();
  if (form) fillForm(form[side]);
  followFile(entry, side);
  state.sortSwatches ||= edit.kind === "chart";
  const changed = edits.changedBeads(edit);
  refresh(changed);
  if (!changed && !form) renderBandFields(currentChart());
}

/**
 * Puts into the form what it said.
 * @param {import("./history.js").FormState} form
 */
export function fillForm({ fields, picture, crop, notes }) {
  fillFields(fields);
  if (state.picture?.id === picture) cropFrame.show(state.picture, crop);
  state.notes = notes;
}

/**
 * Shows the chart everywhere.
 * @param {number[]} [changed] the beads that differ, where all else is the same
 */
export function refresh(changed) {
  const chart = currentChart();
  tools.chartChanged();
  canvas.show(chart, changed);
  state.selectedProblem = -1;
  canvas.overlay.highlighted = new Set();
  if (!changed) canvas.overlay.marked = new Set();
  renderAll();
  if (chart.beads.length < FEW_BEADS) {
    ring.show(chart);
    drawTrueSizeNext();
  } else {
    drawRingLater();
    drawTrueSizeLater();
  }
  fetchFactsLater();
  void autosave();
  document.dispatchEvent(new Event("chartchange"));
}

/**
 * Starts with a chart and an empty history.
 * @param {Chart} chart
 * @param {{text: string, file: string}} source the chart's text, and its file's name if it has one
 */
export function openChart(chart, { text, file }) {
  state.history = new History(chart);
  state.sortSwatches = true;
  state.originalText = text;
  state.savedEntry = null;
  state.file = file;
  state.facts = null;
  state.notes = [];
  forgetSavedFile();
  const { palette } = state;
  const isInPalette = (/** @type {Colour} */ { code }) =>
    palette?.colours.some((other) => other.code === code);
  state.addedColours = state.addedColours.filter(isInPalette);
  suggestColours();
  state.colour = defaultColour(chart);
  canvas.isFitted = true;
  refresh();
}

/** @param {Colour} colour */
export function useColour(colour) {
  state.colour = chartColour(colour);
  const known = [...currentChart().colours, ...state.addedColours];
  if (!known.some((other) => other.code === colour.code)) state.addedColours.push(colour);
  announce(`${colour.name} in use`);
  renderColours();
  renderCurrentColour();
  void autosave();
}

/**
 * Uses the next colour of the swatches, or the one before.
 * @param {1 | -1} by
 */
export function useNextColour(by) {
  const all = swatchColours();
  const at = all.findIndex((colour) => colour.code === currentColour().code);
  useColour(all[(at + by + all.length) % all.length]);
}

/**
 * Uses the colour of a swatch by its number.
 * @param {number} nth from 0
 */
export function useSwatch(nth) {
  const colour = swatchColours()[nth];
  if (colour) useColour(colour);
}

/** Fills the selected motif with the ground. */
export function clearMotif() {
  tools.fillBox(mostCommonColour(currentChart()));
}

/**
 * Replaces the colour in use by another one everywhere.
 * @param {string} code of the other colour
 */
export function replaceCurrentColour(code) {
  const colour = swatchColours().find((other) => other.code === code);
  if (!colour) return;
  const before = currentColour();
  const edit = edits.replaceColour(currentChart(), before.code, colour);
  run(edit, `${before.name} replaced with ${colour.name}`);
  useColour(colour);
}

/**
 * Gives the design another name; none if the name is empty.
 * @param {string} name
 */
export function renameDesign(name) {
  // Half a surrogate pair, as a careless cut leaves it, is dropped.
  const title = name.replace(/\p{Surrogate}/gu, "").trim();
  const { title: before, notes } = currentChart();
  if (title === (before ?? "")) return;
  const rest = notes === undefined ? {} : { notes };
  const from = before === undefined ? rest : { title: before, ...rest };
  const to = title ? { title, ...rest } : rest;
  run({ kind: "text", from, to }, title ? `design named ${title}` : "design name removed");
}

/** The direction of a shift in words. @type {Record<lattice.Direction, string>} */
const SHIFTED = {
  up: "pattern shifted up by one bead",
  down: "pattern shifted down by one bead",
  left: "pattern shifted left by one bead",
  right: "pattern shifted right by one bead",
};

/**
 * Shifts the pattern by one bead.
 * @param {lattice.Direction} direction
 */
export function shiftPattern(direction) {
  const up = { up: 1, down: -1, left: 0, right: 0 }[direction];
  const right = { up: 0, down: 0, left: -1, right: 1 }[direction];
  run(edits.shiftPattern({ up, right }), SHIFTED[direction]);
}

/** The place of the cursor, where rows and columns are inserted and removed. */
function cursorPlace() {
  return lattice.place(currentChart(), canvas.overlay.cursor);
}

export function addRows() {
  resize(edits.insertRows(currentChart(), cursorPlace().row), "2 rows added");
}

export function removeRows() {
  resize(edits.removeRows(currentChart(), cursorPlace().row), "2 rows removed");
}

export function addColumns() {
  resize(edits.insertColumns(currentChart(), cursorPlace().column), "2 columns added");
}

export function removeColumns() {
  resize(edits.removeColumns(currentChart(), cursorPlace().column), "2 columns removed");
}

export function widenEdges() {
  resize(edits.widenEdges(currentChart()), "2 columns added at each edge");
}

export function narrowEdges() {
  resize(edits.narrowEdges(currentChart()), "2 columns removed at each edge");
}

/**
 * Shows a band in another size. One that was resized from the same band is replaced, so that they
 * are one edit.
 * @param {Chart} base the band before it was resized
 * @param {Chart} chart
 */
export function replaceResized(base, chart) {
  const { history } = state;
  if (!history) return;
  tools.deselect();
  const last = history.done.at(-1);
  if (history.chart !== base && last !== state.savedEntry) {
    history.undo();
    history.undone = [];
  }
  const from = history.chart;
  const sides = `${counted(chart.columns, "column")}, ${counted(chart.rows, "row")}`;
  run({ kind: "group", parts: [{ kind: "chart", from, to: chart }] }, `band of ${sides}`);
}

/**
 * Changes the size of the band and puts the new size into the form.
 * @param {Edit | null} edit null if the band cannot have that size
 * @param {string} label
 */
function resize(edit, label) {
  tools.deselect();
  if (!edit) return announce("The band cannot be made larger or smaller than this");
  const before = currentChart().rows;
  run(edit, label);
  const { columns, rows, closed } = currentChart();
  fillFields({ columns: String(columns) });
  // A ring with the same number of rows still has its size.
  if (rows !== before) fillFields({ rows: String(rows), "length-by": closed ? "rows" : "open" });
}
