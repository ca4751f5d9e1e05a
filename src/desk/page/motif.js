// Motifs: beads lifted from a chart, to be flipped, placed elsewhere or moved.

import { paintBeads } from "./edits.js";
import * as lattice from "./lattice.js";

/** @typedef {import("./chart.js").Chart} Chart @typedef {import("./chart.js").Colour} Colour */
/** @typedef {import("./edits.js").Edit} Edit */
/**
 * @typedef {{columns: number, rows: number, cells: {row: number, column: number, colour:
 *   Colour}[]}} Motif places count from 0 at the lower left corner, whose row and column were both
 *   odd or both even
 */

/**
 * The column at which a box is lifted: one further left where its corner lies between beads, so
 * that the motif can be placed on any bead.
 * @param {lattice.Box} box
 */
export function motifLeft(box) {
  return (box.left + box.bottom) % 2 ? box.left - 1 : box.left;
}

/**
 * The beads of a box as a motif.
 * @param {Chart} chart
 * @param {lattice.Box} box
 * @returns {Motif}
 */
export function liftMotif(chart, box) {
  const left = motifLeft(box);
  const cells = lattice.placesIn(chart, box).map(({ bead, row, column }) => ({
    row: row - box.bottom,
    column: column - left,
    colour: chart.colours[chart.beads[bead]],
  }));
  return { rows: box.top - box.bottom + 1, columns: box.right - left + 1, cells };
}

/**
 * A motif with left and right swapped. An even width becomes odd: its mirror image would fall
 * between beads.
 * @param {Motif} motif
 * @returns {Motif}
 */
export function flipMotif(motif) {
  const width = motif.columns % 2 ? motif.columns : motif.columns + 1;
  const cells = motif.cells.map((cell) => ({ ...cell, column: width - 1 - cell.column }));
  return { ...motif, columns: width, cells };
}

/**
 * Places a motif with its lower left corner at a place, which may be beyond an edge: beads beyond
 * an edge are left out, a closed band wraps.
 * @param {Chart} chart
 * @param {Motif} motif
 * @param {lattice.Place} corner
 * @param {lattice.Axis[]} [axes]
 * @returns {Edit | null}
 */
export function placeMotif(chart, motif, corner, axes = []) {
  /** @type {Map<number, Colour>} */
  const wanted = new Map();
  for (const cell of motif.cells) {
    const where = { row: corner.row + cell.row, column: corner.column + cell.column };
    const bead = lattice.beadAt(chart, where);
    if (bead < 0) continue;
    for (const each of lattice.withMirrors(chart, [bead], axes)) {
      if (each === bead || !wanted.has(each)) wanted.set(each, cell.colour);
    }
  }
  return paintBeads(chart, wanted);
}

/**
 * Moves the beads of a box as far as the edges allow; the ground's colour fills their old place.
 * @param {Chart} chart
 * @param {lattice.Box} box
 * @param {lattice.Step} step
 * @param {Colour} ground
 * @returns {Edit | null}
 */
export function moveMotif(chart, box, step, ground) {
  const by = lattice.limitStep(chart, box, step);
  const beads = lattice.beadsInBox(chart, box);
  /** @type {Map<number, Colour>} */
  const wanted = new Map(beads.map((bead) => [bead, ground]));
  for (const bead of beads) {
    const to = lattice.beadAfter(chart, bead, by);
    if (to >= 0) wanted.set(to, chart.colours[chart.beads[bead]]);
  }
  return paintBeads(chart, wanted);
}
