// A drawn band with other columns or rows: its beads stay where they are to each other.

import { beadCounts } from "./chart.js";
import { readRecord } from "./chart-record.js";
import * as lattice from "./lattice.js";

/** @typedef {import("./chart.js").Chart} Chart */

/** A colour that more than this share of the beads has is the ground. Ours. */
const GROUND = 0.5;

/**
 * The chart with another number of columns. They come and go at both edges, so that the middle
 * stays the middle; new beads are of the ground, or without one like the edge that they lie at.
 * @param {Chart} chart
 * @param {number} columns
 * @returns {Chart | undefined} undefined if there cannot be so many
 */
export function withColumnCount(chart, columns) {
  const { least, most } = lattice.LIMITS.columns;
  const shape = { columns, rows: chart.rows, closed: chart.closed };
  const isPossible = columns >= least && columns <= most;
  return isPossible ? reshaped(chart, shape, stepInto(chart, columns)) : undefined;
}

/**
 * The strip with another number of rows, which come and go at its end.
 * @param {Chart} chart
 * @param {number} rows
 * @returns {Chart | undefined} undefined if there cannot be so many
 */
export function withRowCount(chart, rows) {
  const { leastOpen, most } = lattice.LIMITS.rows;
  const shape = { columns: chart.columns, rows, closed: false };
  const isPossible = rows >= leastOpen && rows <= most;
  return isPossible ? reshaped(chart, shape, { rows: 0, columns: 0 }) : undefined;
}

/**
 * @param {Chart} chart
 * @param {lattice.Shape} shape
 * @param {lattice.Step} step how far the old beads move
 * @returns {Chart | undefined}
 */
function reshaped(chart, shape, step) {
  if (lattice.count(shape) > lattice.LIMITS.beads) return undefined;
  const ground = groundOf(chart);
  const beads = new Uint16Array(lattice.count(shape));
  for (let bead = 0; bead < beads.length; bead++) {
    const { row, column } = lattice.place(shape, bead);
    const from = { row: row - step.rows, column: column - step.columns };
    const old = lattice.beadAt(chart, from);
    beads[bead] = old < 0 ? (ground ?? chart.beads[nearest(chart, from)]) : chart.beads[old];
  }
  return { ...chart, ...shape, beads };
}

/**
 * How far the old beads move: by half of the new columns. A move by an odd number of columns goes
 * with a row round the ring; a strip has no such row, and gets the odd columns at its right.
 * @param {Chart} chart
 * @param {number} columns
 * @returns {lattice.Step}
 */
function stepInto(chart, columns) {
  const half = Math.trunc((columns - chart.columns) / 2);
  if (half % 2 === 0) return { rows: 0, columns: half };
  return chart.closed ? { rows: 1, columns: half } : { rows: 0, columns: half - Math.sign(half) };
}

/**
 * The number of the ground's colour: as the chart records it, else one that most beads have.
 * @param {Chart} chart
 */
function groundOf(chart) {
  const { ground } = readRecord(chart.made.options);
  const recorded = chart.colours.findIndex(({ code }) => code === ground);
  if (recorded >= 0) return recorded;
  const counts = beadCounts(chart);
  const most = Math.max(...counts);
  return most > GROUND * chart.beads.length ? counts.indexOf(most) : undefined;
}

/**
 * The bead that is nearest to a place beyond the edges.
 * @param {Chart} chart
 * @param {lattice.Place} place
 */
function nearest(chart, { row, column }) {
  let at = lattice.wrapRow(chart, row);
  if (at > chart.rows) at = chart.rows - ((at - chart.rows) % 2);
  let inside = Math.min(Math.max(column, 1), chart.columns);
  if ((inside + at) % 2 !== 0) inside += inside > 1 ? -1 : 1;
  return lattice.index(chart, at, inside);
}
