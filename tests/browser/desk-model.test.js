// The page's own lattice and chart, without a browser: every command followed by its inverse gives the same chart, for charts and commands drawn by lot
// from fixed seeds. The lattice is held to its own laws and to a table written out by hand from the README's "odd rows fill the odd columns".

import assert from "node:assert/strict";
import { describe, test } from "node:test";
import * as charts from "../../src/desk/page/chart.js";
import * as lattice from "../../src/desk/page/lattice.js";

/** @import { Chart, Colour, Command } from "../../src/desk/page/chart.js" */
/** @import { Place, Shape } from "../../src/desk/page/lattice.js" */

const CASES = 300;
const AXES = /** @type {const} */ (["columns", "rows"]);

/** Whole numbers below a bound, the same ones for the same seed (xorshift32: Marsaglia 2003, doi:10.18637/jss.v008.i14). @param {number} seed */
function lots(seed) {
  let state = seed * 2654435761 + 1;
  return (/** @type {number} */ below) => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    return (state >>> 0) % below;
  };
}

/** @param {number} seed @returns {Shape} */
function shape(seed) {
  const lot = lots(seed);
  const closed = lot(2) === 0;
  return { columns: 3 + lot(12), rows: closed ? 6 + 2 * lot(12) : 2 + lot(24), closed };
}

/** @param {number} nth @returns {Colour} */
function colour(nth) {
  return { code: `quay-${nth}`, name: `pebble ${nth}`, hex: `0${nth}1020`, finish: "matte" };
}

/** @param {number} seed @returns {Chart} */
function chart(seed) {
  const band = shape(seed);
  const lot = lots(seed + 7000);
  const colours = [0, 1, 2, 3].map(colour);
  const beads = Uint16Array.from({ length: lattice.count(band) }, () => lot(4));
  const made = { source: "", sha256: "", options: {}, version: "0.1.0" };
  return { bead: { length_mm: 1.3, diameter_mm: 1.6, hole_mm: 0.8 }, ...band, colours, beads, made };
}

/** The same place, or on a closed band the one a whole round further up or down. @param {Shape} band @param {Place} where @param {(below: number) => number} lot
 * @returns {Place} */
function onward(band, where, lot) {
  return { ...where, row: where.row + (band.closed ? band.rows * (lot(3) - 1) : 0) };
}

/** Every kind of command that this chart can take. @param {Chart} now @param {number} seed @returns {Command[]} */
function commands(now, seed) {
  const lot = lots(seed + 9000);
  const any = () => lot(now.beads.length);
  const spot = () => lattice.place(now, any());
  const axes = AXES.filter((axis) => lot(2) && lattice.hasMirror(now, axis));
  const box = lattice.boxOf(now, spot(), onward(now, spot(), lot));
  const made = [
    charts.colouring(now, [any(), any()], colour(lot(4)), axes),
    charts.colouring(now, lattice.line(now, spot(), onward(now, spot(), lot)), colour(8), axes),
    charts.colouring(now, charts.patch(now, any()), colour(lot(4)), axes),
    charts.replacing(now, colour(lot(4)).code, colour(lot(9))),
    charts.turning(lot(9) - 4, lot(7) - 3),
    charts.lettingInRows(now, 1 + lot(now.rows + 1)),
    charts.takingOutRows(now, 1 + lot(now.rows)),
    charts.lettingInColumns(now, 1 + lot(now.columns + 1)),
    charts.takingOutColumns(now, 1 + lot(now.columns)),
    charts.edging(now, true),
    now.columns >= 7 ? charts.edging(now, false) : null,
    charts.stamping(now, charts.lifted(now, box), spot(), axes),
    charts.stamping(now, charts.flipped(charts.lifted(now, box)), spot()),
    charts.moving(now, box, lot(7) - 3, lot(7) - 3, colour(7)),
    /** @type {Command} */ ({ kind: "words", from: {}, to: { title: "tide" } }),
    /** @type {Command} */ ({ kind: "whole", from: now, to: chart(seed + 1) }),
  ];
  return made.filter((command) => command !== null);
}

/** @param {Chart} now */
function sound(now) {
  assert.equal(now.beads.length, lattice.count(now));
  for (const bead of now.beads) assert.ok(bead < now.colours.length, "a bead has a colour of the chart");
}

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
        if (column > 1 && column < band.columns && (band.closed || (row > 2 && row < band.rows - 1))) assert.equal(beside.length, 6);
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
          assert.equal(lattice.at(band, x + Number(right), y + Number(up)), bead);
      }
    }
  });

  test("a mirror image's image is the bead itself; the centre column and a closed band's axis rows stay", () => {
    for (let seed = 0; seed < CASES; seed++) {
      const band = shape(seed);
      for (const axis of AXES) {
        const has = lattice.hasMirror(band, axis);
        for (let bead = 0; bead < lattice.count(band); bead++) {
          const other = lattice.mirrored(band, bead, axis);
          if (!has) assert.equal(other, -1);
          else assert.equal(lattice.mirrored(band, other, axis), bead);
          const { row, column } = lattice.place(band, bead);
          if (has && axis === "columns" && column === lattice.centreColumn(band)) assert.equal(other, bead);
          if (axis === "rows" && band.closed && (row === band.rows || row === band.rows / 2)) assert.equal(other, bead);
        }
      }
    }
  });

  test("mirror images of neighbours are neighbours", () => {
    for (let seed = 0; seed < 60; seed++) {
      const band = shape(seed);
      for (const axis of AXES.filter((each) => lattice.hasMirror(band, each))) {
        for (let bead = 0; bead < lattice.count(band); bead++) {
          const image = lattice.mirrored(band, bead, axis);
          for (const other of lattice.neighbours(band, bead)) assert.ok(lattice.neighbours(band, image).includes(lattice.mirrored(band, other, axis)));
        }
      }
    }
  });

  test("a line has no gaps and ends where it should", () => {
    for (let seed = 0; seed < CASES; seed++) {
      const band = shape(seed);
      const lot = lots(seed + 50);
      const [from, to] = [lot(lattice.count(band)), lot(lattice.count(band))];
      const line = lattice.line(band, lattice.place(band, from), lattice.place(band, to));
      assert.equal(line[0], from);
      assert.equal(line.at(-1), to);
      for (let at = 1; at < line.length; at++) {
        // Between two beads of a row lies a gap of the next row: those two count as touching here.
        const [one, other] = [lattice.place(band, Number(line[at - 1])), lattice.place(band, Number(line[at]))];
        assert.ok(Math.abs(one.row - other.row) <= 2 && Math.abs(one.column - other.column) <= 2, "no bead is stepped over");
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
          const next = lattice.walk(band, bead, way);
          if (!reached.has(next)) open.push(next);
          reached.add(next);
        }
      }
      assert.equal(reached.size, lattice.count(band));
    }
  });
});

describe("commands", () => {
  test("each command followed by its inverse gives the same chart, and the chart it started from is unchanged", () => {
    let tried = 0;
    for (let seed = 0; seed < CASES; seed++) {
      const now = chart(seed);
      const text = charts.write(now);
      for (const command of commands(now, seed)) {
        const after = charts.apply(now, command);
        sound(after);
        assert.equal(charts.write(charts.apply(after, charts.inverse(command))), text, command.kind);
        assert.equal(charts.write(charts.apply(charts.apply(after, charts.inverse(command)), command)), charts.write(after), `${command.kind} again`);
        assert.equal(charts.write(now), text);
        tried++;
      }
    }
    assert.ok(tried > 3000, `${tried} commands`);
  });

  test("undo goes back to the first chart and redo to the last, however many commands", () => {
    const first = chart(3);
    const history = new charts.History(first);
    for (let seed = 0; seed < 600; seed++) {
      const all = commands(history.chart, seed).filter((command) => command.kind !== "whole");
      const command = all[seed % all.length];
      if (command && history.chart.beads.length < 4000) history.add(command, String(seed));
    }
    const last = charts.write(history.chart);
    const deeds = history.done.length;
    assert.ok(deeds > 500);
    while (history.undo() !== null);
    assert.equal(charts.write(history.chart), charts.write(first));
    while (history.redo() !== null);
    assert.equal(charts.write(history.chart), last);
    assert.equal(history.done.length, deeds);
  });

  test("what is drawn with a mirror is its own mirror image where it was before", () => {
    for (let seed = 0; seed < CASES; seed++) {
      const now = { ...chart(seed) };
      now.beads = new Uint16Array(now.beads.length);
      const lot = lots(seed + 90);
      const axes = AXES.filter((axis) => lattice.hasMirror(now, axis));
      let drawn = /** @type {Chart} */ (now);
      for (let nth = 0; nth < 6; nth++) {
        const command = charts.colouring(drawn, [lot(now.beads.length)], colour(lot(4)), axes);
        if (command) drawn = charts.apply(drawn, command);
      }
      for (const axis of axes) {
        drawn.beads.forEach((bead, at) => assert.equal(drawn.beads[lattice.mirrored(drawn, at, axis)], bead));
      }
    }
  });

  test("a colour is known by code, name and hex; another colour with its code is refused", () => {
    const now = chart(11);
    const green = { code: "quay-2", name: "sea green", hex: "00AA66" };
    assert.equal(charts.namesake(now, green), now.colours[2]);
    assert.equal(charts.namesake(now, { ...colour(2), name: "sea green" }), now.colours[2]);
    assert.equal(charts.namesake(now, { ...colour(2), hex: colour(2).hex.toLowerCase() }), undefined);
    assert.equal(charts.namesake(now, { ...green, code: "quay-9" }), undefined);
  });

  test("without a mirror one bead alone changes", () => {
    const now = chart(11);
    const command = charts.colouring(now, [5], colour(9));
    assert.ok(command);
    const after = charts.apply(now, command);
    assert.deepEqual(
      [...after.beads].flatMap((bead, at) => (bead === now.beads[at] ? [] : [at])),
      [5],
    );
    assert.equal(after.colours[Number(after.beads[5])]?.code, "quay-9");
  });

  test("a turn all the way round and a turn nowhere change nothing, and counts stay", () => {
    for (let seed = 0; seed < CASES; seed++) {
      const now = { ...chart(seed), rows: 12, closed: true };
      now.beads = Uint16Array.from({ length: lattice.count(now) }, (_, at) => at % 4);
      const turned = charts.apply(now, charts.turning(2, 1));
      assert.deepEqual(charts.counts(turned).sort(), charts.counts(now).sort());
      assert.deepEqual(charts.apply(now, charts.turning(6, 0)).beads, now.beads);
      assert.deepEqual(charts.apply(now, charts.turning(0, 0)).beads, now.beads);
      const up = charts.apply(now, charts.turning(1, 0));
      assert.equal(up.beads[lattice.index(now, 5, 3)], now.beads[lattice.index(now, 3, 3)]);
    }
  });

  test("inserted rows look like the rows that were there, and the rest stays in order", () => {
    for (let seed = 0; seed < CASES; seed++) {
      const now = chart(seed);
      const at = 1 + lots(seed)(now.rows);
      const command = charts.lettingInRows(now, at);
      assert.ok(command);
      const after = charts.apply(now, command);
      assert.equal(after.rows, now.rows + 2);
      for (let bead = 0; bead < after.beads.length; bead++) {
        const { row, column } = lattice.place(after, bead);
        const from = row < at ? row : row >= at + 2 ? row - 2 : row > now.rows ? row - 2 : row;
        assert.equal(after.beads[bead], now.beads[lattice.index(now, from, column)]);
      }
    }
  });

  test("too few rows or columns are refused", () => {
    const small = { ...chart(1), columns: 3, rows: 6, closed: true };
    small.beads = new Uint16Array(lattice.count(small));
    assert.equal(charts.takingOutRows(small, 1), null);
    assert.equal(charts.takingOutColumns(small, 1), null);
    assert.equal(charts.edging({ ...small, columns: 5, beads: new Uint16Array(15) }, false), null);
  });

  test("a motif put back where it was picked up changes nothing; flipped twice it is unchanged", () => {
    for (let seed = 0; seed < CASES; seed++) {
      const now = chart(seed);
      const lot = lots(seed + 40);
      const [one, other] = [lot(now.beads.length), lot(now.beads.length)].map((bead) => lattice.place(now, bead));
      const box = lattice.boxOf(now, one, onward(now, other, lot));
      const motif = charts.lifted(now, box);
      assert.equal(charts.stamping(now, motif, { row: box.bottom, column: box.left - ((box.left + box.bottom) % 2) }), null);
      assert.deepEqual(charts.flipped(charts.flipped(motif)).cells, motif.cells);
    }
  });

  test("a patch is all of one colour, in one piece, and ends where other colours begin", () => {
    for (let seed = 0; seed < CASES; seed++) {
      const now = chart(seed);
      const start = lots(seed)(now.beads.length);
      const patch = new Set(charts.patch(now, start));
      for (const bead of patch) {
        assert.equal(now.beads[bead], now.beads[start]);
        for (const beside of lattice.neighbours(now, bead)) assert.equal(patch.has(beside), now.beads[beside] === now.beads[start]);
      }
    }
  });
});

describe("the chart's file", () => {
  test("is read and written back byte for byte", () => {
    for (let seed = 0; seed < 60; seed++) {
      const text = charts.write({ ...chart(seed), title: 'a "quoted" tide \u2028 🪡', notes: "two\nlines" });
      assert.equal(charts.write(charts.read(text)), text);
    }
  });

  test("says when beads were mended by hand, and only then", () => {
    const history = new charts.History(chart(5));
    assert.equal(history.isMended(), false);
    history.add({ kind: "words", from: {}, to: { title: "tide" } }, "the name");
    assert.equal(history.isMended(), false);
    history.add(/** @type {Command} */ (charts.colouring(history.chart, [0, 1, 2, 3, 4], colour(9))), "beads");
    assert.equal(history.isMended(), true);
    assert.equal(charts.mended(history.chart).made.options.mended, "by hand");
    history.undo();
    assert.equal(history.isMended(), false);
  });

  test("knows which beads were set by hand, in colours new to the band too, until beads move", () => {
    const now = chart(5);
    now.beads.fill(0);
    const history = new charts.History(now);
    const set = (/** @type {number[]} */ beads, /** @type {number} */ nth) =>
      history.add(/** @type {Command} */ (charts.colouring(history.chart, beads, colour(nth))), "beads");
    set([3], 9);
    set([5, 3], 1);
    history.add({ kind: "words", from: {}, to: { title: "tide" } }, "the name");
    assert.deepEqual(new Set(history.mendedBeads()), new Set([3, 5]));
    history.add({ kind: "all", parts: [{ kind: "whole", from: history.chart, to: { ...history.chart } }] }, "refined");
    set([4], 8);
    assert.deepEqual(new Set(history.mendedBeads()), new Set([3, 4, 5]));
    history.add(charts.turning(1, 0), "the pattern one bead up");
    assert.equal(history.mendedBeads(), null);
    history.add({ kind: "whole", from: history.chart, to: chart(6) }, "charted");
    assert.deepEqual(history.mendedBeads(), []);
    history.add(/** @type {Command} */ (charts.lettingInRows(history.chart, 2)), "2 rows let in");
    assert.equal(history.mendedBeads(), null);
  });
});

describe("over the seam", () => {
  /** A closed band, all of one colour but for a motif of five columns. @param {number} rows @param {number} bottom @param {number} top */
  function ring(rows, bottom, top) {
    const now = { ...chart(1), columns: 9, rows, closed: true };
    now.beads = new Uint16Array(lattice.count(now));
    const box = { left: 3, right: 7, bottom, top };
    for (const bead of lattice.inBox(now, box)) now.beads[bead] = 1 + (bead % 3);
    return { now: /** @type {Chart} */ (now), box };
  }

  test("a motif that is moved all the way round, step by step, is whole at every step and ends where it began", () => {
    for (const step of [2, 1, -2, 5, -7]) {
      const { now, box } = ring(20, 14, 18);
      let [after, at] = [now, box];
      const motif = charts.lifted(now, box).cells;
      assert.equal(motif.length, 12);
      for (let nth = 0; nth < 20; nth++) {
        const by = lattice.within(after, at, step, step % 2 ? (nth % 2 ? -1 : 1) : 0);
        assert.equal(by.rows, step);
        after = charts.apply(after, /** @type {Command} */ (charts.moving(after, at, by.rows, by.columns, now.colours[0])));
        at = lattice.movedBox(after, at, by);
        assert.ok(at.bottom >= 1 && at.bottom <= 20 && at.top - at.bottom === 4, JSON.stringify(at));
        assert.equal(after.beads.filter((bead) => bead > 0).length, 12, "nothing is eaten");
        // With its corner between beads a motif is lifted from one column further left.
        const off = (at.left + at.bottom) % 2;
        assert.deepEqual(
          charts.lifted(after, at).cells.map((cell) => ({ ...cell, column: cell.column - off })),
          motif.map((cell) => ({ ...cell, column: cell.column - ((box.left + box.bottom) % 2) })),
        );
      }
      assert.deepEqual(after.beads, now.beads);
      assert.deepEqual(at, box);
    }
  });

  test("a box over the seam has the beads of a shifted band's box, is put back as it was picked up, and flips in place", () => {
    const { now, box } = ring(20, 18, 23);
    assert.deepEqual(lattice.inBox(now, box).length, 15);
    for (let bead = 0; bead < now.beads.length; bead++) assert.equal(lattice.isInBox(now, box, bead), lattice.inBox(now, box).includes(bead));
    // Five beads further up by turning the band (ten rows) the seam is no longer in it.
    const up = charts.apply(now, charts.turning(5, 0));
    assert.deepEqual(charts.lifted(up, { ...box, bottom: 8, top: 13 }), charts.lifted(now, box));
    const over = charts.flipped(charts.lifted(now, box));
    const left = box.left - ((box.left + box.bottom) % 2);
    const turned = charts.apply(now, /** @type {Command} */ (charts.stamping(now, over, { row: box.bottom, column: left })));
    for (const { bead, row, column } of lattice.placesIn(now, box)) {
      assert.equal(turned.beads[lattice.beadAt(now, { row, column: 10 - column })], now.beads[bead]);
    }
  });

  test("a line goes in the direction it was drawn", () => {
    const band = { columns: 9, rows: 40, closed: true };
    const rows = (/** @type {number[]} */ beads) => beads.map((bead) => lattice.place(band, bead).row);
    assert.deepEqual(rows(lattice.line(band, { row: 37, column: 5 }, { row: 43, column: 5 })), [37, 39, 1, 3]);
    assert.deepEqual(rows(lattice.line(band, { row: 3, column: 5 }, { row: -1, column: 5 })), [3, 1, 39]);
    assert.deepEqual(rows(lattice.line(band, { row: 37, column: 5 }, { row: 33, column: 5 })), [37, 35, 33]);
    assert.deepEqual(lattice.boxOf(band, { row: 43, column: 5 }, { row: 37, column: 3 }), { left: 3, right: 5, bottom: 37, top: 43 });
    assert.deepEqual(lattice.boxOf(band, { row: -2, column: 2 }, { row: 3, column: 3 }), { left: 2, right: 3, bottom: 38, top: 43 });
    // Counted on by keys, step by step.
    let [bead, to] = [lattice.index(band, 39, 5), { row: 39, column: 5 }];
    for (let nth = 0; nth < 4; nth++) {
      bead = lattice.walk(band, bead, "up");
      to = lattice.nearest(band, bead, to);
    }
    assert.equal(to.row, 43);
  });
});

describe("at the edges", () => {
  test("a motif stops there whole, wherever it is moved", () => {
    for (let seed = 0; seed < CASES; seed++) {
      const now = chart(seed);
      const lot = lots(seed + 300);
      const spot = () => lattice.place(now, lot(now.beads.length));
      const box = lattice.boxOf(now, spot(), spot());
      const by = lattice.within(now, box, lot(61) - 30, lot(41) - 20);
      assert.ok((by.rows + by.columns) % 2 === 0);
      const to = lattice.movedBox(now, box, by);
      assert.ok(to.left >= 1 && to.right <= now.columns && to.bottom >= 1 && (now.closed || to.top <= now.rows), JSON.stringify({ box, by, to }));
      const command = charts.moving(now, box, by.rows, by.columns, colour(8));
      const after = command ? charts.apply(now, command) : now;
      const names = (/** @type {Chart} */ of, /** @type {import("../../src/desk/page/lattice.js").Box} */ here) =>
        lattice.inBox(of, here).map((bead) => of.colours[Number(of.beads[bead])]?.code);
      assert.deepEqual(names(after, to), names(now, box));
    }
  });

  test("a copy placed over an edge is cut off there, and stays under the pointer", () => {
    const now = /** @type {Chart} */ ({ ...chart(1), columns: 15, rows: 20, closed: false });
    now.beads = new Uint16Array(lattice.count(now));
    for (const bead of lattice.inBox(now, { left: 6, right: 10, bottom: 8, top: 12 })) now.beads[bead] = 2;
    const motif = charts.lifted(now, { left: 6, right: 10, bottom: 8, top: 12 });
    const after = charts.apply(now, /** @type {Command} */ (charts.stamping(now, motif, { row: 0, column: 8 })));
    const set = [...after.beads].flatMap((bead, at) => (bead === now.beads[at] ? [] : [at]));
    assert.deepEqual(set, lattice.inBox(now, { left: 8, right: 12, bottom: 1, top: 4 }));
  });
});
