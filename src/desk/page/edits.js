// Edits of a chart, each with its inverse.

import { chartColour, isSameColour } from "./chart.js";
import * as lattice from "./lattice.js";

/** @typedef {import("./chart.js").Chart} Chart @typedef {import("./chart.js").Colour} Colour */
/** @typedef {import("./lattice.js").Axis} Axis */
/** @typedef {"insert" | "remove"} Change */
/** @typedef {{title?: string, notes?: string}} Text */
/**
 * @typedef {{kind: "beads", at: number[], from: number[], to: number[]}} BeadsEdit
 *   beads get another colour
 * @typedef {{kind: "colours", from: Colour[], to: Colour[]}} ColoursEdit
 *   the list of colours changes; the beads keep their numbers
 * @typedef {{kind: "shift", up: number, right: number}} ShiftEdit the pattern moves
 * @typedef {{kind: "rows" | "columns", change: Change, at: number, pairs: number, beads: number[]}}
 *   ResizeEdit pairs of rows or columns are inserted or removed; `beads` holds their colours
 * @typedef {{kind: "text", from: Text, to: Text}} TextEdit the title or the notes change
 * @typedef {{kind: "chart", from: Chart, to: Chart}} ChartEdit the whole chart is replaced
 * @typedef {{kind: "group", parts: Edit[]}} GroupEdit several edits, in order
 * @typedef {BeadsEdit | ColoursEdit | ShiftEdit | ResizeEdit | TextEdit | ChartEdit | GroupEdit}
 *   Edit
 */

/**
 * The chart after an edit.
 * @param {Chart} chart
 * @param {Edit} edit
 * @returns {Chart}
 */
export function applyEdit(chart, edit) {
  switch (edit.kind) {
    case "beads": {
      const beads = chart.beads.slice();
      edit.at.forEach((bead, nth) => {
        beads[bead] = edit.to[nth];
      });
      return { ...chart, beads };
    }
    case "colours":
      return { ...chart, colours: edit.to };
    case "shift": {
      const from = lattice.shiftSources(chart, edit);
      return { ...chart, beads: Uint16Array.from(from, (bead) => chart.beads[bead]) };
    }
    case "rows":
    case "columns":
      return edit.change === "insert" ? insert(chart, edit) : remove(chart, edit);
    case "text": {
      const { title: _title, notes: _notes, ...rest } = chart;
      return { ...rest, ...edit.to };
    }
    case "chart":
      return edit.to;
    case "group":
      return edit.parts.reduce(applyEdit, chart);
  }
}

/**
 * The edit that undoes an edit.
 * @param {Edit} edit
 * @returns {Edit}
 */
export function invertEdit(edit) {
  switch (edit.kind) {
    case "beads":
      return { ...edit, from: edit.to, to: edit.from };
    case "colours":
      return { ...edit, from: edit.to, to: edit.from };
    case "shift":
      return { ...edit, up: -edit.up, right: -edit.right };
    case "rows":
    case "columns":
      return { ...edit, change: edit.change === "insert" ? "remove" : "insert" };
    case "text":
      return { ...edit, from: edit.to, to: edit.from };
    case "chart":
      return { ...edit, from: edit.to, to: edit.from };
    case "group":
      return { kind: "group", parts: edit.parts.map(invertEdit).reverse() };
  }
}

/**
 * Where the beads of a larger band come from in a smaller one.
 * @param {lattice.Shape} shape the smaller band
 * @param {{kind: "rows" | "columns", at: number, pairs: number}} edit
 */
function sources(shape, { kind, at, pairs }) {
  return kind === "rows"
    ? lattice.withRows(shape, at, pairs)
    : lattice.withColumns(shape, at, pairs);
}

/**
 * The shape that stays when pairs of rows or columns are removed.
 * @param {lattice.Shape} shape
 * @param {{kind: "rows" | "columns", pairs: number}} edit
 * @returns {lattice.Shape}
 */
function smaller({ columns, rows, closed }, { kind, pairs }) {
  return kind === "rows"
    ? { columns, closed, rows: rows - 2 * pairs }
    : { rows, closed, columns: columns - 2 * pairs };
}

/**
 * @param {Chart} chart
 * @param {ResizeEdit} edit
 * @returns {Chart}
 */
function insert(chart, edit) {
  const { larger, from } = sources(chart, edit);
  let next = 0;
  const beads = Uint16Array.from(from, (bead) =>
    bead >= 0 ? chart.beads[bead] : edit.beads[next++],
  );
  return { ...chart, rows: larger.rows, columns: larger.columns, beads };
}

/**
 * @param {Chart} chart
 * @param {ResizeEdit} edit
 * @returns {Chart}
 */
function remove(chart, edit) {
  const shape = smaller(chart, edit);
  const beads = new Uint16Array(lattice.count(shape));
  sources(shape, edit).from.forEach((bead, at) => {
    if (bead >= 0) beads[bead] = chart.beads[at];
  });
  return { ...chart, rows: shape.rows, columns: shape.columns, beads };
}

/**
 * Gives beads, and their mirror images, a colour; null if nothing would change.
 * @param {Chart} chart
 * @param {Iterable<number>} beads
 * @param {Colour} colour
 * @param {Axis[]} [axes]
 * @returns {Edit | null}
 */
export function colourBeads(chart, beads, colour, axes = []) {
  const all = lattice.withMirrors(chart, beads, axes);
  return paintBeads(chart, new Map(all.map((bead) => [bead, colour])));
}

/**
 * Gives each bead its own colour; null if nothing would change.
 * @param {Chart} chart
 * @param {Map<number, Colour>} wanted
 * @returns {Edit | null}
 */
export function paintBeads(chart, wanted) {
  const numbers = new Map(chart.colours.map((colour, at) => [colour.code, at]));
  /** @type {Colour[]} */
  const added = [];
  for (const colour of wanted.values()) {
    if (numbers.has(colour.code)) continue;
    numbers.set(colour.code, chart.colours.length + added.length);
    added.push(chartColour(colour));
  }
  /** @type {BeadsEdit} */
  const change = { kind: "beads", at: [], from: [], to: [] };
  for (const [bead, colour] of wanted) {
    const to = numbers.get(colour.code) ?? 0;
    if (bead < 0 || chart.beads[bead] === to) continue;
    change.at.push(bead);
    change.from.push(chart.beads[bead]);
    change.to.push(to);
  }
  if (!change.at.length) return null;
  if (!added.length) return change;
  const colours = [...chart.colours, ...added];
  return { kind: "group", parts: [{ kind: "colours", from: chart.colours, to: colours }, change] };
}

/**
 * Replaces a colour by another one everywhere; null if no bead has it.
 * @param {Chart} chart
 * @param {string} code
 * @param {Colour} colour
 * @returns {Edit | null}
 */
export function replaceColour(chart, code, colour) {
  const from = chart.colours.findIndex((other) => other.code === code);
  const beads = [];
  for (let bead = 0; bead < chart.beads.length; bead++) {
    if (chart.beads[bead] === from) beads.push(bead);
  }
  return colourBeads(chart, beads, colour);
}

/**
 * Moves the pattern by so many beads.
 * @param {{up: number, right: number}} by
 * @returns {ShiftEdit}
 */
export function shiftPattern({ up, right }) {
  return { kind: "shift", up, right };
}

/**
 * Inserts pairs of rows below row `at`, like the two rows there; null if the band would be too
 * long.
 * @param {Chart} chart
 * @param {number} at
 * @param {number} [pairs]
 * @returns {Edit | null}
 */
export function insertRows(chart, at, pairs = 1) {
  const { from, larger } = lattice.withRows(chart, at, pairs);
  const { rows, beads: most } = lattice.LIMITS;
  if (larger.rows > rows.most || lattice.count(larger) > most) return null;
  const beads = newBeads(from).map((bead) => {
    const { row, column } = lattice.place(larger, bead);
    let near = at + ((row - at) % 2);
    if (near > chart.rows) near -= 2;
    return chart.beads[lattice.index(chart, near, column)];
  });
  return { kind: "rows", change: "insert", at, pairs, beads };
}

/**
 * Removes pairs of rows from row `at` on; null if too few would stay.
 * @param {Chart} chart
 * @param {number} at
 * @param {number} [pairs]
 * @returns {Edit | null}
 */
export function removeRows(chart, at, pairs = 1) {
  const { leastClosed, leastOpen } = lattice.LIMITS.rows;
  const rest = chart.rows - 2 * pairs;
  if (rest < (chart.closed ? leastClosed : leastOpen)) return null;
  return removal(chart, { kind: "rows", at: Math.min(at, rest + 1), pairs });
}

/**
 * Inserts a pair of columns left of column `at`, like the two columns there; null if the band would
 * be too wide.
 * @param {Chart} chart
 * @param {number} at
 * @returns {Edit | null}
 */
export function insertColumns(chart, at) {
  const { from, larger } = lattice.withColumns(chart, at, 1);
  const { columns, beads: most } = lattice.LIMITS;
  if (larger.columns > columns.most || lattice.count(larger) > most) return null;
  const beads = newBeads(from).map((bead) => {
    const { row, column } = lattice.place(larger, bead);
    const near = at <= chart.columns - 1 ? column : column - 2;
    return chart.beads[lattice.index(chart, row, near)];
  });
  return { kind: "columns", change: "insert", at, pairs: 1, beads };
}

/**
 * Removes a pair of columns from column `at` on; null if too few would stay.
 * @param {Chart} chart
 * @param {number} at
 * @returns {Edit | null}
 */
export function removeColumns(chart, at) {
  if (chart.columns - 2 < lattice.LIMITS.columns.least) return null;
  return removal(chart, { kind: "columns", at: Math.min(at, chart.columns - 1), pairs: 1 });
}

/**
 * Inserts a pair of columns at each edge, so that the middle stays the middle.
 * @param {Chart} chart
 * @returns {Edit | null}
 */
export function widenEdges(chart) {
  const first = insertColumns(chart, 1);
  if (!first) return null;
  const between = applyEdit(chart, first);
  const second = insertColumns(between, between.columns + 1);
  return second && { kind: "group", parts: [first, second] };
}

/**
 * Removes a pair of columns at each edge, so that the middle stays the middle.
 * @param {Chart} chart
 * @returns {Edit | null}
 */
export function narrowEdges(chart) {
  const first = removeColumns(chart, 1);
  if (!first) return null;
  const between = applyEdit(chart, first);
  const second = removeColumns(between, between.columns - 1);
  return second && { kind: "group", parts: [first, second] };
}

/**
 * The beads that a larger band has more than the smaller one.
 * @param {Int32Array} from
 */
function newBeads(from) {
  const beads = [];
  for (let bead = 0; bead < from.length; bead++) if (from[bead] < 0) beads.push(bead);
  return beads;
}

/**
 * @param {Chart} chart
 * @param {{kind: "rows" | "columns", at: number, pairs: number}} where
 * @returns {ResizeEdit}
 */
function removal(chart, where) {
  const { from } = sources(smaller(chart, where), where);
  const beads = newBeads(from).map((bead) => chart.beads[bead]);
  return { ...where, change: "remove", beads };
}

/**
 * The beads that an edit changes where it leaves the shape as it is, for drawing only those;
 * undefined if everything may have changed.
 * @param {Edit} edit
 * @returns {number[] | undefined}
 */
export function changedBeads(edit) {
  if (edit.kind === "beads") return edit.at;
  if (edit.kind === "text") return [];
  // Colours that are added at the end, or taken from there, change no bead's look.
  if (edit.kind === "colours") return isLonger(edit.from, edit.to) ? [] : undefined;
  if (edit.kind !== "group") return undefined;
  const parts = edit.parts.map(changedBeads);
  return parts.every((part) => part) ? /** @type {number[]} */ (parts.flat()) : undefined;
}

/**
 * Whether one list of colours goes on where the other ends.
 * @param {Colour[]} one
 * @param {Colour[]} other
 */
function isLonger(one, other) {
  const shared = one.slice(0, other.length);
  return shared.every(
    (colour, nth) =>
      isSameColour(colour, other[nth]) && (colour.finish ?? "") === (other[nth].finish ?? ""),
  );
}

/**
 * How many beads an edit sets.
 * @param {Edit | null} edit
 * @returns {number}
 */
export function editSize(edit) {
  if (edit?.kind === "group") return edit.parts.reduce((sum, part) => sum + editSize(part), 0);
  return edit?.kind === "beads" ? edit.at.length : 0;
}
