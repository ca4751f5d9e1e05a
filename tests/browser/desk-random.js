// Random bands and charts, the same ones for the same seed.

import * as lattice from "../../src/desk/page/lattice.js";

/** @import { Chart, Colour } from "../../src/desk/page/chart.js" */
/** @import { Axis, Mirror, Place, Shape } from "../../src/desk/page/lattice.js" */

export const CASES = 300;
const MIRRORS = /** @type {Mirror[]} */ (["columns", "rows"]);

/**
 * Whole numbers below a bound, the same ones for the same seed (xorshift32: Marsaglia 2003,
 * doi:10.18637/jss.v008.i14).
 * @param {number} seed
 */
export function randomNumbers(seed) {
  let state = seed * 2654435761 + 1;
  return (/** @type {number} */ below) => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    return (state >>> 0) % below;
  };
}

/** @param {number} seed @returns {Shape} */
export function shape(seed) {
  const random = randomNumbers(seed);
  const closed = random(2) === 0;
  return { columns: 3 + random(12), rows: closed ? 6 + 2 * random(12) : 2 + random(24), closed };
}

/** @param {number} nth @returns {Colour} */
export function colour(nth) {
  return { code: `quay-${nth}`, name: `pebble ${nth}`, hex: `0${nth}1020`, finish: "matte" };
}

/** @param {number} seed @returns {Chart} */
export function chart(seed) {
  const band = shape(seed);
  const random = randomNumbers(seed + 7000);
  const colours = [0, 1, 2, 3].map(colour);
  const beads = Uint16Array.from({ length: lattice.count(band) }, () => random(4));
  const made = { source: "", sha256: "", options: {}, version: "0.1.0" };
  return {
    bead: { length_mm: 1.3, diameter_mm: 1.6, hole_mm: 0.8 },
    ...band,
    colours,
    beads,
    made,
  };
}

/**
 * Every axis that a band has; of those from end to end of a closed band any one.
 * @param {Shape} band
 * @param {number} seed
 * @returns {Axis[]}
 */
export function axes(band, seed) {
  const row = band.closed ? 1 + randomNumbers(seed + 400)(band.rows) : (band.rows + 1) / 2;
  const has = MIRRORS.filter((mirror) => lattice.hasMirror(band, mirror));
  return has.map((mirror) => (mirror === "columns" ? mirror : row));
}

/**
 * The same place, or on a closed band the one a whole round further up or down.
 * @param {Shape} band
 * @param {Place} where
 * @param {(below: number) => number} random
 * @returns {Place}
 */
export function onward(band, where, random) {
  return { ...where, row: where.row + (band.closed ? band.rows * (random(3) - 1) : 0) };
}
