// The staggered lattice of a band: shape, parity, neighbours, wrap, positions on the canvas.
// No other module computes with half beads.
//
// Columns 1..W run across the band, rows 1..N along it. Row r fills the columns c for which c and r
// are both odd or both even. Beads are numbered in lattice order: row 1 first, then by column.
// A bead is two half rows high; its lower edge lies at half row r - 1.

/**
 * @typedef {{columns: number, rows: number, closed: boolean}} Shape A chart has these fields too.
 */
/**
 * @typedef {{row: number, column: number}} Place
 *   Where a bead lies, counted from 1. On a closed band the rows go on beyond both ends.
 */
/**
 * @typedef {{left: number, right: number, bottom: number, top: number}} Box
 *   Columns and rows, the outer ones included. Where the box crosses the seam of a closed band,
 *   `top` is greater than the number of rows.
 */
/** @typedef {{rows: number, columns: number}} Step How far something moves up and to the right. */
/** @typedef {"columns" | "rows"} Mirror Left to right across the columns, or end to end. */
/**
 * @typedef {"columns" | number} Axis
 *   The centre column, or the row from which both ends are alike: on a closed band any row, with
 *   the one opposite, on an open band the middle one.
 */
/** @typedef {"left" | "right" | "up" | "down"} Direction */

/** The smallest and largest bands. */
export const LIMITS = {
  columns: { least: 3, most: 1000 },
  rows: { leastClosed: 6, leastOpen: 2, most: 20000 },
  beads: 2000000,
};

/** Steps to the beads that touch a bead. */
const NEIGHBOURS = [
  { rows: -2, columns: 0 },
  { rows: -1, columns: -1 },
  { rows: -1, columns: 1 },
  { rows: 1, columns: -1 },
  { rows: 1, columns: 1 },
  { rows: 2, columns: 0 },
];

/**
 * How many beads a row has.
 * @param {Shape} shape
 * @param {number} row
 */
export function beadsIn(shape, row) {
  return (shape.columns + (row % 2)) >> 1;
}

/**
 * The number of the first bead of a row; two rows together hold W beads.
 * @param {Shape} shape
 * @param {number} row
 */
export function rowStart(shape, row) {
  const before = row - 1;
  return (before >> 1) * shape.columns + (before % 2) * ((shape.columns + 1) >> 1);
}

/**
 * How many beads the band has.
 * @param {Shape} shape
 */
export function count(shape) {
  return rowStart(shape, shape.rows + 1);
}

/**
 * The bead at a row and column, or -1 where there is none.
 * @param {Shape} shape
 * @param {number} row
 * @param {number} column
 */
export function index(shape, row, column) {
  const isRow = row >= 1 && row <= shape.rows;
  const isColumn = column >= 1 && column <= shape.columns;
  if (!isRow || !isColumn || (row + column) % 2 !== 0) return -1;
  return rowStart(shape, row) + ((column - 1) >> 1);
}

/**
 * Row and column of a bead.
 * @param {Shape} shape
 * @param {number} bead
 * @returns {Place}
 */
export function place(shape, bead) {
  const pair = Math.floor(bead / shape.columns);
  const within = bead % shape.columns;
  const odd = (shape.columns + 1) >> 1;
  return within < odd
    ? { row: pair * 2 + 1, column: within * 2 + 1 }
    : { row: pair * 2 + 2, column: (within - odd) * 2 + 2 };
}

/**
 * The row itself; beyond the ends of a closed band, the row that it wraps to.
 * @param {Shape} shape
 * @param {number} row
 */
export function wrapRow(shape, row) {
  if (!shape.closed) return row;
  return ((((row - 1) % shape.rows) + shape.rows) % shape.rows) + 1;
}

/**
 * The bead one step away, across the seam of a closed band; -1 beyond an edge or between beads.
 * @param {Shape} shape
 * @param {number} bead
 * @param {Step} step
 */
export function beadAfter(shape, bead, step) {
  const from = place(shape, bead);
  return index(shape, wrapRow(shape, from.row + step.rows), from.column + step.columns);
}

/**
 * The beads that touch a bead.
 * @param {Shape} shape
 * @param {number} bead
 */
export function neighbours(shape, bead) {
  return NEIGHBOURS.map((step) => beadAfter(shape, bead, step)).filter((other) => other >= 0);
}

/**
 * The next bead for an arrow key: sideways along the row; up and down in a zigzag of two columns,
 * so that up and down undo each other. It crosses the seam of a closed band; at an edge it is the
 * bead itself.
 * @param {Shape} shape
 * @param {number} bead
 * @param {Direction} direction
 */
export function nextBead(shape, bead, direction) {
  if (direction === "left" || direction === "right") {
    const columns = direction === "left" ? -2 : 2;
    const next = beadAfter(shape, bead, { rows: 0, columns });
    return next < 0 ? bead : next;
  }
  const rows = direction === "up" ? 1 : -1;
  const side = place(shape, bead).row % 2 ? 1 : -1;
  for (const columns of [side, -side]) {
    const next = beadAfter(shape, bead, { rows, columns });
    if (next >= 0) return next;
  }
  return bead;
}

/**
 * The middle column of an odd count, or 0.
 * @param {Shape} shape
 */
export function centreColumn(shape) {
  return shape.columns % 2 ? (shape.columns + 1) / 2 : 0;
}

/**
 * Whether the band can be mirrored: left to right needs an odd count of columns, end to end of an
 * open band an odd count of rows.
 * @param {Shape} shape
 * @param {Mirror} mirror
 */
export function hasMirror(shape, mirror) {
  if (mirror === "columns") return shape.columns % 2 === 1;
  return shape.closed || shape.rows % 2 === 1;
}

/**
 * The end-to-end axis so many rows above the middle of a closed band; of an open band always the
 * middle row.
 * @param {Shape} shape
 * @param {number} up
 */
export function endsAxis(shape, up) {
  return shape.closed ? wrapRow(shape, shape.rows / 2 + up) : (shape.rows + 1) / 2;
}

/**
 * The mirror image of a bead: itself on the axis, -1 where the band has no such axis.
 * @param {Shape} shape
 * @param {number} bead
 * @param {Axis} axis
 */
export function mirrored(shape, bead, axis) {
  const { row, column } = place(shape, bead);
  if (axis === "columns") return index(shape, row, shape.columns + 1 - column);
  if (!shape.closed && 2 * axis !== shape.rows + 1) return -1;
  return index(shape, wrapRow(shape, 2 * axis - row), column);
}

/**
 * The rows that an end-to-end axis runs through.
 * @param {Shape} shape
 * @param {number} row
 */
export function axisRows(shape, row) {
  return shape.closed ? [row, wrapRow(shape, row + shape.rows / 2)] : [row];
}

/**
 * The beads together with their mirror images, each once.
 * @param {Shape} shape
 * @param {Iterable<number>} beads
 * @param {Axis[]} axes
 */
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

/**
 * The bead at a place, on a closed band also beyond its ends; or -1.
 * @param {Shape} shape
 * @param {Place} where
 */
export function beadAt(shape, where) {
  return index(shape, wrapRow(shape, where.row), where.column);
}

/**
 * Of the places that a bead has on a closed band and beyond its ends, the one nearest to another.
 * @param {Shape} shape
 * @param {number} bead
 * @param {Place} to
 * @returns {Place}
 */
export function nearestPlace(shape, bead, to) {
  const { row, column } = place(shape, bead);
  if (!shape.closed) return { row, column };
  return { row: row + Math.round((to.row - row) / shape.rows) * shape.rows, column };
}

/**
 * The bead whose rectangle covers a point, on a closed band also beyond its ends; or -1.
 * @param {Shape} shape
 * @param {number} x in bead lengths from the left edge
 * @param {number} y in half rows from the lower edge
 */
export function beadAtPoint(shape, x, y) {
  return beadAt(shape, placeAtPoint(x, y));
}

/**
 * The place whose rectangle covers a point, whether or not the band has a bead there.
 * @param {number} x in bead lengths from the left edge
 * @param {number} y in half rows from the lower edge
 * @returns {Place}
 */
export function placeAtPoint(x, y) {
  const column = Math.floor(x) + 1;
  const half = Math.floor(y);
  // A bead of row r covers half rows r - 1 and r; the parity of the column decides which row it is.
  const row = (half + 1 + column) % 2 === 0 ? half + 1 : half;
  return { row, column };
}

/**
 * The lower left corner of a bead, which is 1 long and 2 high: bead lengths and half rows.
 * @param {Place} where
 */
export function corner(where) {
  return { x: where.column - 1, y: where.row - 1 };
}

/**
 * The size of the flat band in bead lengths and half rows.
 * @param {Shape} shape
 */
export function extent(shape) {
  return { width: shape.columns, height: shape.rows + 1 };
}

/**
 * The rows that cover any of the half rows from `low` up to `high`.
 * @param {Shape} shape
 * @param {number} low
 * @param {number} high
 */
export function rowsBetween(shape, low, high) {
  return {
    first: Math.max(1, Math.floor(low)),
    last: Math.min(shape.rows, Math.ceil(high) + 1),
  };
}

/**
 * The first column of a row.
 * @param {number} row
 */
export function firstColumn(row) {
  return 2 - (row % 2);
}

/**
 * The beads on the straight line from one place to another, both included.
 * @param {Shape} shape
 * @param {Place} a
 * @param {Place} b
 */
export function line(shape, a, b) {
  const rows = b.row - a.row;
  const columns = b.column - a.column;
  // Points a quarter of a bead apart, so that no bead on the line is skipped.
  const points = Math.max(Math.abs(rows), Math.abs(columns)) * 4;
  /** @type {Set<number>} */
  const beads = new Set([beadAt(shape, a)]);
  for (let point = 1; point < points; point++) {
    const part = point / points;
    const bead = beadAtPoint(shape, a.column - 0.5 + columns * part, a.row + rows * part);
    if (bead >= 0) beads.add(bead);
  }
  beads.add(beadAt(shape, b));
  return [...beads];
}

/**
 * The beads of a box from its lowest row up, each with its place as the box counts rows.
 * @param {Shape} shape
 * @param {Box} box
 */
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

/**
 * The beads of a box.
 * @param {Shape} shape
 * @param {Box} box
 */
export function beadsInBox(shape, box) {
  return placesIn(shape, box).map(({ bead }) => bead);
}

/**
 * Whether a bead is in a box.
 * @param {Shape} shape
 * @param {Box} box
 * @param {number} bead
 */
export function isInBox(shape, box, bead) {
  const { row, column } = place(shape, bead);
  const offset = row - box.bottom;
  const above = shape.closed ? (offset + shape.rows) % shape.rows : offset;
  const isRow = above >= 0 && above <= box.top - box.bottom;
  return isRow && column >= box.left && column <= box.right;
}

/**
 * The box spanned by two places, at most once round the band.
 * @param {Shape} shape
 * @param {Place} a
 * @param {Place} b
 * @returns {Box}
 */
export function boxBetween(shape, a, b) {
  return wrapBox(shape, {
    left: Math.min(a.column, b.column),
    right: Math.max(a.column, b.column),
    bottom: Math.min(a.row, b.row),
    top: Math.max(a.row, b.row),
  });
}

/**
 * The same box with its lowest row on the band.
 * @param {Shape} shape
 * @param {Box} box
 * @returns {Box}
 */
function wrapBox(shape, box) {
  const bottom = wrapRow(shape, box.bottom);
  return { ...box, bottom, top: bottom + Math.min(box.top - box.bottom, shape.rows - 1) };
}

/**
 * A box moved by a step that `limitStep` allows.
 * @param {Shape} shape
 * @param {Box} box
 * @param {Step} step
 */
export function moveBox(shape, box, step) {
  return wrapBox(shape, {
    left: box.left + step.columns,
    right: box.right + step.columns,
    bottom: box.bottom + step.rows,
    top: box.top + step.rows,
  });
}

/**
 * The part of a step that keeps beads on beads and a box on the band: it stops at the edges and
 * crosses the seam of a closed band.
 * @param {Shape} shape
 * @param {Box} box
 * @param {Step} step
 * @returns {Step}
 */
export function limitStep(shape, box, step) {
  const rows = shape.closed ? step.rows : clamp(step.rows, 1 - box.bottom, shape.rows - box.top);
  const columns = clamp(step.columns, 1 - box.left, shape.columns - box.right);
  if ((rows + columns) % 2 === 0) return { rows, columns };
  // One less, so that what was allowed stays allowed.
  return columns
    ? { rows, columns: columns - Math.sign(columns) }
    : { rows: rows - Math.sign(rows), columns };
}

/**
 * @param {number} value
 * @param {number} least
 * @param {number} most
 */
function clamp(value, least, most) {
  return Math.max(least, Math.min(most, value));
}

/**
 * Whether two bands have the same beads in the same places.
 * @param {Shape} one
 * @param {Shape} other
 */
export function isSameShape(one, other) {
  return one.columns === other.columns && one.rows === other.rows && one.closed === other.closed;
}

/**
 * A step that keeps beads on beads: rows and columns both odd or both even; columns give way.
 * @param {Step} step
 * @returns {Step}
 */
export function evenStep({ rows, columns }) {
  if ((rows + columns) % 2 === 0) return { rows, columns };
  return { rows, columns: columns + (columns > 0 ? -1 : 1) };
}

/**
 * For each bead, the bead that lands on it when every column moves up by `shift.up` of its beads
 * and every row moves right by `shift.right` of its beads; what leaves on one side comes in on the
 * other. The opposite numbers undo it.
 * @param {Shape} shape
 * @param {{up: number, right: number}} shift
 */
export function shiftSources(shape, { up, right }) {
  const from = new Uint32Array(count(shape));
  // Each column has its own stack of beads; in an open band with an odd count of rows the odd
  // columns have one bead more.
  for (let bead = 0; bead < from.length; bead++) {
    const here = place(shape, bead);
    const stack = (shape.rows + (here.row % 2)) >> 1;
    const level = (here.row - 1) >> 1;
    const source = (((level - up) % stack) + stack) % stack;
    const row = source * 2 + 2 - (here.row % 2);
    const beads = beadsIn(shape, row);
    const nth = (here.column - 1) >> 1;
    const column = ((((nth - right) % beads) + beads) % beads) * 2 + firstColumn(row);
    from[bead] = index(shape, row, column);
  }
  return from;
}

/**
 * The band with pairs of rows inserted below row `at`. `from` holds for each bead of the larger
 * band the bead of the smaller one, or -1 for a new bead.
 * @param {Shape} shape the smaller band
 * @param {number} at
 * @param {number} pairs
 * @returns {{larger: Shape, from: Int32Array}}
 */
export function withRows(shape, at, pairs) {
  const larger = { ...shape, rows: shape.rows + 2 * pairs };
  const from = new Int32Array(count(larger)).fill(-1);
  for (let bead = 0; bead < count(shape); bead++) {
    const { row, column } = place(shape, bead);
    from[index(larger, row < at ? row : row + 2 * pairs, column)] = bead;
  }
  return { larger, from };
}

/**
 * The band with pairs of columns inserted left of column `at`; `from` as in `withRows`.
 * @param {Shape} shape the smaller band
 * @param {number} at
 * @param {number} pairs
 * @returns {{larger: Shape, from: Int32Array}}
 */
export function withColumns(shape, at, pairs) {
  const larger = { ...shape, columns: shape.columns + 2 * pairs };
  const from = new Int32Array(count(larger)).fill(-1);
  for (let bead = 0; bead < count(shape); bead++) {
    const { row, column } = place(shape, bead);
    from[index(larger, row, column < at ? column : column + 2 * pairs)] = bead;
  }
  return { larger, from };
}
