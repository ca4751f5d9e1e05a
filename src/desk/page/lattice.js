// The staggered lattice of a band: shape, parity, neighbours, wrap, places on the mat. No other module computes with half beads.
//
// Columns 1..W run across, rows 1..N round. Row r fills the columns c with c and r both odd or both even. Beads are numbered in
// lattice order: row 1 first, then by column. A bead is two half rows high; its lower edge lies at half row r - 1.

/** @typedef {{columns: number, rows: number, closed: boolean}} Shape A band's shape; charts have these fields too. */
/** @typedef {{row: number, column: number}} Place Where a bead lies, both counted from 1; on a closed band rows go on beyond either end. */
/** @typedef {{left: number, right: number, bottom: number, top: number}} Box Columns and rows, the outer ones belonging to it; over the seam of a
 * closed band the top is beyond the last row. */

/** Fewest and most columns; fewest rows of a closed band and of an open one; most rows. */
export const LIMITS = { columns: [3, 1000], closed: 6, open: 2, rows: 20000, beads: 2000000 };

/** How many beads a row has. @param {Shape} shape @param {number} row */
export function beadsIn(shape, row) {
  return (shape.columns + (row % 2)) >> 1;
}

/** Where a row starts in lattice order; two rows together hold W beads. @param {Shape} shape @param {number} row */
export function rowStart(shape, row) {
  const before = row - 1;
  return (before >> 1) * shape.columns + (before % 2) * ((shape.columns + 1) >> 1);
}

/** Number of beads. @param {Shape} shape */
export function count(shape) {
  return rowStart(shape, shape.rows + 1);
}

/** The bead at a row and column, or -1 where the lattice has none. @param {Shape} shape @param {number} row @param {number} column */
export function index(shape, row, column) {
  const inside = row >= 1 && row <= shape.rows && column >= 1 && column <= shape.columns && (row + column) % 2 === 0;
  return inside ? rowStart(shape, row) + ((column - 1) >> 1) : -1;
}

/** Row and column of a bead. @param {Shape} shape @param {number} bead @returns {Place} */
export function place(shape, bead) {
  const pair = Math.floor(bead / shape.columns);
  const within = bead % shape.columns;
  const odd = (shape.columns + 1) >> 1;
  return within < odd ? { row: pair * 2 + 1, column: within * 2 + 1 } : { row: pair * 2 + 2, column: (within - odd) * 2 + 2 };
}

/** The row itself, or on a closed band the one it is round the seam. @param {Shape} shape @param {number} row */
export function wrapped(shape, row) {
  if (!shape.closed) return row;
  return ((((row - 1) % shape.rows) + shape.rows) % shape.rows) + 1;
}

/** The bead so many rows up and columns to the right, round the seam of a closed band; -1 beyond an edge or between beads.
 * @param {Shape} shape @param {number} bead @param {number} rows @param {number} columns */
export function step(shape, bead, rows, columns) {
  const from = place(shape, bead);
  return index(shape, wrapped(shape, from.row + rows), from.column + columns);
}

/** The beads that touch a bead. @param {Shape} shape @param {number} bead */
export function neighbours(shape, bead) {
  return [
    [-2, 0],
    [-1, -1],
    [-1, 1],
    [1, -1],
    [1, 1],
    [2, 0],
  ]
    .map(([rows, columns]) => step(shape, bead, rows, columns))
    .filter((other) => other >= 0);
}

/** The next bead for an arrow key: sideways along the row; up and down in a zigzag of two columns, so that up and down undo each other.
 * Round the seam of a closed band; the bead itself at an edge.
 * @param {Shape} shape @param {number} bead @param {"left"|"right"|"up"|"down"} way */
export function walk(shape, bead, way) {
  const here = place(shape, bead);
  if (way === "left" || way === "right") {
    const next = step(shape, bead, 0, way === "left" ? -2 : 2);
    return next < 0 ? bead : next;
  }
  const rows = way === "up" ? 1 : -1;
  const side = here.row % 2 ? 1 : -1;
  for (const columns of [side, -side]) {
    const next = step(shape, bead, rows, columns);
    if (next >= 0) return next;
  }
  return bead;
}

/** The column in the middle of an odd count, or 0. @param {Shape} shape */
export function centreColumn(shape) {
  return shape.columns % 2 ? (shape.columns + 1) / 2 : 0;
}

/** Whether the band has that symmetry at all: left to right needs an odd count of columns, end to end of an open band an odd count of rows.
 * @param {Shape} shape @param {"columns"|"rows"} axis */
export function hasMirror(shape, axis) {
  return axis === "columns" ? shape.columns % 2 === 1 : shape.closed || shape.rows % 2 === 1;
}

/** The mirror image of a bead; itself on the axis, -1 where the band has no such symmetry. A closed band's axis from end to end runs through
 * rows N and N/2. @param {Shape} shape @param {number} bead @param {"columns"|"rows"} axis */
export function mirrored(shape, bead, axis) {
  if (!hasMirror(shape, axis)) return -1;
  const { row, column } = place(shape, bead);
  if (axis === "columns") return index(shape, row, shape.columns + 1 - column);
  const other = shape.closed ? (row === shape.rows ? row : shape.rows - row) : shape.rows + 1 - row;
  return index(shape, other, column);
}

/** The beads together with their mirror images, each once. @param {Shape} shape @param {Iterable<number>} beads @param {("columns"|"rows")[]} axes */
export function withMirrors(shape, beads, axes) {
  const all = new Set(beads);
  for (const axis of axes) {
    for (const bead of [...all]) {
      const other = mirrored(shape, bead, axis);
      if (other >= 0) all.add(other);
    }
  }
  return [...all];
}

/** The bead at a place, on a closed band also beyond its ends; or -1. @param {Shape} shape @param {Place} where */
export function beadAt(shape, where) {
  return index(shape, wrapped(shape, where.row), where.column);
}

/** The place, among those a bead has on a closed band that goes on beyond its ends, that is nearest to another. @param {Shape} shape @param {number} bead
 * @param {Place} to @returns {Place} */
export function nearest(shape, bead, to) {
  const { row, column } = place(shape, bead);
  return { row: shape.closed ? row + Math.round((to.row - row) / shape.rows) * shape.rows : row, column };
}

/** The bead whose rectangle covers a point, on a closed band also beyond its ends, where it goes on; or -1. @param {Shape} shape @param {number} x in bead lengths from the left edge
 * @param {number} y in half rows from the lower edge */
export function at(shape, x, y) {
  return beadAt(shape, placeAt(x, y));
}

/** The place whose rectangle covers a point, whether a band has it or not. @param {number} x in bead lengths from the left edge
 * @param {number} y in half rows from the lower edge @returns {Place} */
export function placeAt(x, y) {
  const column = Math.floor(x) + 1;
  const half = Math.floor(y);
  // A bead of row r covers half rows r - 1 and r; the one whose parity fits its column is meant.
  const row = (half + 1 + column) % 2 === 0 ? half + 1 : half;
  return { row, column };
}

/** A bead's rectangle: left edge in bead lengths, lower edge in half rows; it is 1 long and 2 high. @param {Place} where */
export function corner(where) {
  return { x: where.column - 1, y: where.row - 1 };
}

/** The flat band's size in bead lengths and half rows. @param {Shape} shape */
export function extent(shape) {
  return { width: shape.columns, height: shape.rows + 1 };
}

/** The rows that show any of the half rows from `low` up to `high`. @param {Shape} shape @param {number} low @param {number} high */
export function rowsBetween(shape, low, high) {
  return { first: Math.max(1, Math.floor(low)), last: Math.min(shape.rows, Math.ceil(high) + 1) };
}

/** The first column of a row. @param {number} row */
export function firstColumn(row) {
  return 2 - (row % 2);
}

/** The beads on the straightest way from one place to another, both among them. @param {Shape} shape @param {Place} a @param {Place} b */
export function line(shape, a, b) {
  const rows = b.row - a.row;
  const columns = b.column - a.column;
  // Points a quarter bead apart, so that no bead on the way is stepped over.
  const steps = Math.max(Math.abs(rows), Math.abs(columns)) * 4;
  /** @type {Set<number>} */
  const beads = new Set([beadAt(shape, a)]);
  for (let at_ = 1; at_ < steps; at_++) {
    const part = at_ / steps;
    const bead = at(shape, a.column - 0.5 + columns * part, a.row + rows * part);
    if (bead >= 0) beads.add(bead);
  }
  beads.add(beadAt(shape, b));
  return [...beads];
}

/** The beads of a box, from its lowest row up, each with its place as the box counts rows. @param {Shape} shape @param {Box} box */
export function placesIn(shape, box) {
  const found = [];
  for (let row = box.bottom; row <= box.top; row++) {
    for (let column = box.left; column <= box.right; column++) {
      const bead = beadAt(shape, { row, column });
      if (bead >= 0) found.push({ bead, row, column });
    }
  }
  return found;
}

/** The beads of a box. @param {Shape} shape @param {Box} box */
export function inBox(shape, box) {
  return placesIn(shape, box).map(({ bead }) => bead);
}

/** Whether a bead is in a box. @param {Shape} shape @param {Box} box @param {number} bead */
export function isInBox(shape, box, bead) {
  const { row, column } = place(shape, bead);
  const above = shape.closed ? (row - box.bottom + shape.rows) % shape.rows : row - box.bottom;
  return above >= 0 && above <= box.top - box.bottom && column >= box.left && column <= box.right;
}

/** The box spanned by two places, once round at most. @param {Shape} shape @param {Place} a @param {Place} b @returns {Box} */
export function boxOf(shape, a, b) {
  return settled(shape, {
    left: Math.min(a.column, b.column),
    right: Math.max(a.column, b.column),
    bottom: Math.min(a.row, b.row),
    top: Math.max(a.row, b.row),
  });
}

/** The same box with its lowest row on the band. @param {Shape} shape @param {Box} box @returns {Box} */
function settled(shape, box) {
  const bottom = wrapped(shape, box.bottom);
  return { ...box, bottom, top: bottom + Math.min(box.top - box.bottom, shape.rows - 1) };
}

/** A box moved by what `within` allows. @param {Shape} shape @param {Box} box @param {{rows: number, columns: number}} by @returns {Box} */
export function movedBox(shape, box, by) {
  const { left, right, bottom, top } = box;
  return settled(shape, { left: left + by.columns, right: right + by.columns, bottom: bottom + by.rows, top: top + by.rows });
}

/** A move that keeps beads on beads and a box on the band: it stops at the edges, and goes round the seam of a closed band.
 * @param {Shape} shape @param {Box} box @param {number} rows @param {number} columns */
export function within(shape, box, rows, columns) {
  const between = (/** @type {number} */ least, /** @type {number} */ value, /** @type {number} */ most) => Math.max(least, Math.min(most, value));
  const by = {
    rows: shape.closed ? rows : between(1 - box.bottom, rows, shape.rows - box.top),
    columns: between(1 - box.left, columns, shape.columns - box.right),
  };
  if ((by.rows + by.columns) % 2 === 0) return by;
  // One step less, so that what was allowed stays allowed.
  return by.columns ? { ...by, columns: by.columns - Math.sign(by.columns) } : { ...by, rows: by.rows - Math.sign(by.rows) };
}

/** Whether two bands have the same beads in the same places. @param {Shape} one @param {Shape} other */
export function isAlike(one, other) {
  return one.columns === other.columns && one.rows === other.rows && one.closed === other.closed;
}

/** A move that keeps beads on beads: rows and columns must be both odd or both even; columns give way. @param {number} rows @param {number} columns */
export function onBeads(rows, columns) {
  if ((rows + columns) % 2 === 0) return { rows, columns };
  return { rows, columns: columns + (columns > 0 ? -1 : 1) };
}

/** For each bead, the bead that lands on it when all beads move up round the band by `round` beads (of their column) and each row turns
 * `across` beads to the right, what leaves on one side coming in on the other. Undone by the opposite numbers.
 * @param {Shape} shape @param {number} round @param {number} across */
export function turned(shape, round, across) {
  const from = new Uint32Array(count(shape));
  // Each column has its own stack of beads; an open band of an odd count has one bead more in odd columns.
  for (let bead = 0; bead < from.length; bead++) {
    const here = place(shape, bead);
    const stack = (shape.rows + (here.row % 2)) >> 1;
    const level = (here.row - 1) >> 1;
    const source = (((level - round) % stack) + stack) % stack;
    const row = source * 2 + 2 - (here.row % 2);
    const beads = beadsIn(shape, row);
    const nth = (here.column - 1) >> 1;
    const column = ((((nth - across) % beads) + beads) % beads) * 2 + firstColumn(row);
    from[bead] = index(shape, row, column);
  }
  return from;
}

/** Where a pair of rows may be let in or taken out: below the row `at` (odd or even alike). The beads `pairs * 2` rows from `at` are new.
 * Gives for each bead of the longer band the bead of the shorter one, or -1 for the new ones.
 * @param {Shape} shorter @param {number} at @param {number} pairs */
export function rowsLetIn(shorter, at, pairs) {
  const longer = { ...shorter, rows: shorter.rows + 2 * pairs };
  const from = new Int32Array(count(longer)).fill(-1);
  for (let bead = 0; bead < count(shorter); bead++) {
    const { row, column } = place(shorter, bead);
    from[index(longer, row < at ? row : row + 2 * pairs, column)] = bead;
  }
  return { longer, from };
}

/** As rowsLetIn, for pairs of columns left of column `at`. @param {Shape} narrower @param {number} at @param {number} pairs */
export function columnsLetIn(narrower, at, pairs) {
  const wider = { ...narrower, columns: narrower.columns + 2 * pairs };
  const from = new Int32Array(count(wider)).fill(-1);
  for (let bead = 0; bead < count(narrower); bead++) {
    const { row, column } = place(narrower, bead);
    from[index(wider, row, column < at ? column : column + 2 * pairs)] = bead;
  }
  return { wider, from };
}
