// The page's lattice, without a browser: its laws, and a table written by hand: odd rows fill the
// odd columns.

import assert from "node:assert/strict";
import { describe, test } from "node:test";
import * as lattice from "../../src/desk/page/lattice.js";
import { axes, CASES, randomNumbers, shape } from "./desk-random.js";

describe("lattice", () => {
  test("nine columns hold five and four beads a row", () => {
    const ring = { columns: 9, rows: 74, closed: true };
    assert.equal(lattice.count(ring), 333);
    assert.deepEqual(
      [1, 2, 73, 74].map((row) => lattice.beadsIn(ring, row)),
      [5, 4, 5, 4],
    );
    assert.deepEqual(
      [0, 1, 4, 5, 8, 9].map((bead) => lattice.place(ring, bead)),
      [
        { row: 1, column: 1 },
        { row: 1, column: 3 },
        { row: 1, column: 9 },
        { row: 2, column: 2 },
        { row: 2, column: 8 },
        { row: 3, column: 1 },
      ],
    );
    assert.equal(lattice.centreColumn(ring), 5);
  });

  test("index and place undo each other, and row and column are both odd or both even", () => {
    for (let seed = 0; seed < CASES; seed++) {
      const band = shape(seed);
      for (let bead = 0; bead < lattice.count(band); bead++) {
        const { row, column } = lattice.place(band, bead);
        assert.equal(row % 2, column % 2);
        assert.equal(lattice.index(band, row, column), bead);
      }
    }
  });

  test("neighbours are neighbours of one another, and six inside a band", () => {
    for (let seed = 0; seed < 40; seed++) {
      const band = shape(seed);
      for (let bead = 0; bead < lattice.count(band); bead++) {
        const beside = lattice.neighbours(band, bead);
        const { row, column } = lattice.place(band, bead);
        if (
          column > 1 &&
          column < band.columns &&
          (band.closed || (row > 2 && row < band.rows - 1))
        )
          assert.equal(beside.length, 6);
        for (const other of beside) assert.ok(lattice.neighbours(band, other).includes(bead));
      }
    }
  });

  test("a bead covers its own rectangle and nothing else", () => {
    for (let seed = 0; seed < CASES; seed++) {
      const band = shape(seed);
      for (let bead = 0; bead < lattice.count(band); bead++) {
        const { x, y } = lattice.corner(lattice.place(band, bead));
        for (const [right, up] of [
          [0.01, 0.01],
          [0.99, 1.99],
          [0.5, 1],
        ])
          assert.equal(lattice.beadAtPoint(band, x + Number(right), y + Number(up)), bead);
      }
    }
  });

  test("mirroring twice gives the bead itself; beads on the axis stay", () => {
    for (let seed = 0; seed < CASES; seed++) {
      const band = shape(seed);
      for (const axis of axes(band, seed)) {
        for (let bead = 0; bead < lattice.count(band); bead++) {
          const other = lattice.mirrored(band, bead, axis);
          assert.equal(lattice.mirrored(band, other, axis), bead);
          const { row, column } = lattice.place(band, bead);
          const isOnAxis =
            axis === "columns"
              ? column === lattice.centreColumn(band)
              : lattice.axisRows(band, axis).includes(row);
          assert.equal(other === bead, isOnAxis);
        }
      }
    }
  });

  test("a band without an axis has no mirror images about it", () => {
    const band = { columns: 8, rows: 12, closed: false };
    for (let bead = 0; bead < lattice.count(band); bead++)
      for (const axis of /** @type {lattice.Axis[]} */ (["columns", 6, 7]))
        assert.equal(lattice.mirrored(band, bead, axis), -1);
  });

  test("mirror images of neighbours are neighbours", () => {
    for (let seed = 0; seed < 60; seed++) {
      const band = shape(seed);
      for (const axis of axes(band, seed)) {
        for (let bead = 0; bead < lattice.count(band); bead++) {
          const image = lattice.mirrored(band, bead, axis);
          for (const other of lattice.neighbours(band, bead))
            assert.ok(
              lattice.neighbours(band, image).includes(lattice.mirrored(band, other, axis)),
            );
        }
      }
    }
  });

  test("a line has no gaps and ends where it should", () => {
    for (let seed = 0; seed < CASES; seed++) {
      const band = shape(seed);
      const random = randomNumbers(seed + 50);
      const [from, to] = [random(lattice.count(band)), random(lattice.count(band))];
      const line = lattice.line(band, lattice.place(band, from), lattice.place(band, to));
      assert.equal(line[0], from);
      assert.equal(line.at(-1), to);
      for (let at = 1; at < line.length; at++) {
        // Between two beads of a row lies a gap of the next row: those two count as touching here.
        const [one, other] = [
          lattice.place(band, Number(line[at - 1])),
          lattice.place(band, Number(line[at])),
        ];
        assert.ok(
          Math.abs(one.row - other.row) <= 2 && Math.abs(one.column - other.column) <= 2,
          "no bead is stepped over",
        );
      }
    }
  });

  test("arrows reach every bead, and up undoes down except at an edge", () => {
    for (let seed = 0; seed < 40; seed++) {
      const band = shape(seed);
      const reached = new Set([0]);
      const open = [0];
      for (let bead = open.pop(); bead !== undefined; bead = open.pop()) {
        for (const way of /** @type {const} */ (["left", "right", "up", "down"])) {
          const next = lattice.nextBead(band, bead, way);
          if (!reached.has(next)) open.push(next);
          reached.add(next);
        }
      }
      assert.equal(reached.size, lattice.count(band));
    }
  });
});
