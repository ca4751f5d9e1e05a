// The page's chart, without a browser: every edit followed by its inverse gives the same chart, for
// random charts and edits from fixed seeds.

import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { describe, test } from "node:test";
import {
  beadCounts,
  conflictingColour,
  connectedArea,
  markEdited,
  mirrorAxes,
  readChart,
  writeChart,
} from "../../src/desk/page/chart.js";
import {
  applyEdit,
  colourBeads,
  insertColumns,
  insertRows,
  invertEdit,
  narrowEdges,
  removeColumns,
  removeRows,
  replaceColour,
  shiftPattern,
  widenEdges,
} from "../../src/desk/page/edits.js";
import { History } from "../../src/desk/page/history.js";
import * as lattice from "../../src/desk/page/lattice.js";
import { flipMotif, liftMotif, moveMotif, placeMotif } from "../../src/desk/page/motif.js";

import { axes, CASES, chart, colour, onward, randomNumbers } from "./desk-random.js";

/** @import { Chart } from "../../src/desk/page/chart.js" */
/** @import { Edit } from "../../src/desk/page/edits.js" */

/**
 * Every kind of edit that this chart can take.
 * @param {Chart} now
 * @param {number} seed
 * @returns {Edit[]}
 */
function edits(now, seed) {
  const random = randomNumbers(seed + 9000);
  const any = () => random(now.beads.length);
  const spot = () => lattice.place(now, any());
  const some = axes(now, seed).filter(() => random(2));
  const box = lattice.boxBetween(now, spot(), onward(now, spot(), random));
  const made = [
    colourBeads(now, [any(), any()], colour(random(4)), some),
    colourBeads(now, lattice.line(now, spot(), onward(now, spot(), random)), colour(8), some),
    colourBeads(now, connectedArea(now, any()), colour(random(4)), some),
    replaceColour(now, colour(random(4)).code, colour(random(9))),
    shiftPattern({ up: random(9) - 4, right: random(7) - 3 }),
    insertRows(now, 1 + random(now.rows + 1)),
    removeRows(now, 1 + random(now.rows)),
    insertColumns(now, 1 + random(now.columns + 1)),
    removeColumns(now, 1 + random(now.columns)),
    widenEdges(now),
    now.columns >= 7 ? narrowEdges(now) : null,
    placeMotif(now, liftMotif(now, box), spot(), some),
    placeMotif(now, flipMotif(liftMotif(now, box)), spot()),
    moveMotif(now, box, { rows: random(7) - 3, columns: random(7) - 3 }, colour(7)),
    /** @type {Edit} */ ({ kind: "text", from: {}, to: { title: "tide" } }),
    /** @type {Edit} */ ({ kind: "chart", from: now, to: chart(seed + 1) }),
  ];
  return made.filter((edit) => edit !== null);
}

/** @param {Chart} now */
function sound(now) {
  assert.equal(now.beads.length, lattice.count(now));
  for (const bead of now.beads)
    assert.ok(bead < now.colours.length, "a bead has a colour of the chart");
}

describe("edits", () => {
  test("each followed by its inverse gives the same chart; the first chart is not changed", () => {
    let tried = 0;
    for (let seed = 0; seed < CASES; seed++) {
      const now = chart(seed);
      const text = writeChart(now);
      for (const edit of edits(now, seed)) {
        const after = applyEdit(now, edit);
        sound(after);
        assert.equal(writeChart(applyEdit(after, invertEdit(edit))), text, edit.kind);
        assert.equal(
          writeChart(applyEdit(applyEdit(after, invertEdit(edit)), edit)),
          writeChart(after),
          `${edit.kind} again`,
        );
        assert.equal(writeChart(now), text);
        tried++;
      }
    }
    assert.ok(tried > 3000, `${tried} edits`);
  });

  test("undo goes back to the first chart and redo to the last, however many edits", () => {
    const first = chart(3);
    const history = new History(first);
    for (let seed = 0; seed < 600; seed++) {
      const all = edits(history.chart, seed).filter((edit) => edit.kind !== "chart");
      const edit = all[seed % all.length];
      if (edit && history.chart.beads.length < 4000) history.add(edit, String(seed));
    }
    const last = writeChart(history.chart);
    const count = history.done.length;
    assert.ok(count > 500);
    while (history.undo() !== null);
    assert.equal(writeChart(history.chart), writeChart(first));
    while (history.redo() !== null);
    assert.equal(writeChart(history.chart), last);
    assert.equal(history.done.length, count);
  });

  test("what is drawn with a mirror is its own mirror image", () => {
    for (let seed = 0; seed < CASES; seed++) {
      const now = { ...chart(seed) };
      now.beads = new Uint16Array(now.beads.length);
      const random = randomNumbers(seed + 90);
      const about = axes(now, seed);
      let drawn = /** @type {Chart} */ (now);
      for (let nth = 0; nth < 6; nth++) {
        const edit = colourBeads(drawn, [random(now.beads.length)], colour(random(4)), about);
        if (edit) drawn = applyEdit(drawn, edit);
      }
      for (const axis of about) {
        drawn.beads.forEach((bead, at) =>
          assert.equal(drawn.beads[lattice.mirrored(drawn, at, axis)], bead),
        );
      }
    }
  });

  test("both ends are mirrored about the middle of the motif, as the record has it", () => {
    const { made, ...rest } = { ...chart(0), columns: 9, rows: 72, closed: true };
    const axis = (/** @type {Record<string, string>} */ options, shape = {}) =>
      mirrorAxes({ ...rest, ...shape, made: { ...made, options } }, ["columns", "rows"])[1];
    assert.equal(axis({}), 36);
    assert.equal(axis({ position: "middle" }), 36);
    assert.equal(axis({ position: "0.9,0,-0.8" }), 35);
    assert.equal(axis({ position: "0.9,0,-0.4" }), 36, "of two rows the upper one");
    assert.equal(axis({ seat: "0.9,0,8" }), 46);
    assert.equal(axis({ position: "0.5,0,40" }), 14, "round the seam");
    assert.equal(axis({ position: "0.9,0,-0.8" }, { rows: 73, closed: false }), 37);
    assert.deepEqual(mirrorAxes({ ...rest, made }, ["columns"]), ["columns"]);
  });

  test("a colour is known by code, name and hex; a different one with its code is found", () => {
    const now = chart(11);
    const green = { code: "quay-2", name: "sea green", hex: "00AA66" };
    assert.equal(conflictingColour(now, green), now.colours[2]);
    assert.equal(conflictingColour(now, { ...colour(2), name: "sea green" }), now.colours[2]);
    assert.equal(
      conflictingColour(now, { ...colour(2), hex: colour(2).hex.toLowerCase() }),
      undefined,
    );
    assert.equal(conflictingColour(now, { ...green, code: "quay-9" }), undefined);
  });

  test("without a mirror one bead alone changes", () => {
    const now = chart(11);
    const edit = colourBeads(now, [5], colour(9));
    assert.ok(edit);
    const after = applyEdit(now, edit);
    assert.deepEqual(
      [...after.beads].flatMap((bead, at) => (bead === now.beads[at] ? [] : [at])),
      [5],
    );
    assert.equal(after.colours[Number(after.beads[5])]?.code, "quay-9");
  });

  test("a shift all the way round and a shift by nothing change nothing, and counts stay", () => {
    for (let seed = 0; seed < CASES; seed++) {
      const now = { ...chart(seed), rows: 12, closed: true };
      now.beads = Uint16Array.from({ length: lattice.count(now) }, (_, at) => at % 4);
      const turned = applyEdit(now, shiftPattern({ up: 2, right: 1 }));
      assert.deepEqual(beadCounts(turned).sort(), beadCounts(now).sort());
      assert.deepEqual(applyEdit(now, shiftPattern({ up: 6, right: 0 })).beads, now.beads);
      assert.deepEqual(applyEdit(now, shiftPattern({ up: 0, right: 0 })).beads, now.beads);
      const up = applyEdit(now, shiftPattern({ up: 1, right: 0 }));
      assert.equal(up.beads[lattice.index(now, 5, 3)], now.beads[lattice.index(now, 3, 3)]);
    }
  });

  test("inserted rows look like the rows that were there, and the rest keeps its order", () => {
    for (let seed = 0; seed < CASES; seed++) {
      const now = chart(seed);
      const at = 1 + randomNumbers(seed)(now.rows);
      const edit = insertRows(now, at);
      assert.ok(edit);
      const after = applyEdit(now, edit);
      assert.equal(after.rows, now.rows + 2);
      for (let bead = 0; bead < after.beads.length; bead++) {
        const { row, column } = lattice.place(after, bead);
        const from = row < at ? row : row >= at + 2 ? row - 2 : row > now.rows ? row - 2 : row;
        assert.equal(after.beads[bead], now.beads[lattice.index(now, from, column)]);
      }
    }
  });

  test("a band keeps its least rows and columns", () => {
    const small = { ...chart(1), columns: 3, rows: 6, closed: true };
    small.beads = new Uint16Array(lattice.count(small));
    assert.equal(removeRows(small, 1), null);
    assert.equal(removeColumns(small, 1), null);
    assert.equal(narrowEdges({ ...small, columns: 5, beads: new Uint16Array(15) }), null);
  });

  test("a motif placed where it was lifted changes nothing; flipped twice it is itself", () => {
    for (let seed = 0; seed < CASES; seed++) {
      const now = chart(seed);
      const random = randomNumbers(seed + 40);
      const [one, other] = [random(now.beads.length), random(now.beads.length)].map((bead) =>
        lattice.place(now, bead),
      );
      const box = lattice.boxBetween(now, one, onward(now, other, random));
      const motif = liftMotif(now, box);
      assert.equal(
        placeMotif(now, motif, {
          row: box.bottom,
          column: box.left - ((box.left + box.bottom) % 2),
        }),
        null,
      );
      assert.deepEqual(flipMotif(flipMotif(motif)).cells, motif.cells);
    }
  });

  test("a connected area has one colour and ends where other colours begin", () => {
    for (let seed = 0; seed < CASES; seed++) {
      const now = chart(seed);
      const start = randomNumbers(seed)(now.beads.length);
      const area = new Set(connectedArea(now, start));
      for (const bead of area) {
        assert.equal(now.beads[bead], now.beads[start]);
        for (const beside of lattice.neighbours(now, bead))
          assert.equal(area.has(beside), now.beads[beside] === now.beads[start]);
      }
    }
  });
});

describe("the chart's file", () => {
  test("is read and written back byte for byte", () => {
    for (let seed = 0; seed < 60; seed++) {
      const text = writeChart({
        ...chart(seed),
        title: 'a "quoted" tide \u2028 🪡',
        notes: "two\nlines",
      });
      assert.equal(writeChart(readChart(text)), text);
    }
  });

  test("says when beads were changed by hand, and only then", () => {
    const history = new History(chart(5));
    assert.equal(history.isEdited(), false);
    history.add({ kind: "text", from: {}, to: { title: "tide" } }, "the name");
    assert.equal(history.isEdited(), false);
    history.add(
      /** @type {Edit} */ (colourBeads(history.chart, [0, 1, 2, 3, 4], colour(9))),
      "beads",
    );
    assert.equal(history.isEdited(), true);
    assert.equal(markEdited(history.chart).made.options.mended, "by hand");
    history.undo();
    assert.equal(history.isEdited(), false);
  });

  test("knows which beads were set by hand, in new colours too, until beads move", () => {
    const now = chart(5);
    now.beads.fill(0);
    const history = new History(now);
    const set = (/** @type {number[]} */ beads, /** @type {number} */ nth) =>
      history.add(/** @type {Edit} */ (colourBeads(history.chart, beads, colour(nth))), "beads");
    set([3], 9);
    set([5, 3], 1);
    history.add({ kind: "text", from: {}, to: { title: "tide" } }, "the name");
    assert.deepEqual(new Set(history.editedBeads()), new Set([3, 5]));
    history.add(
      { kind: "group", parts: [{ kind: "chart", from: history.chart, to: { ...history.chart } }] },
      "refined",
    );
    set([4], 8);
    assert.deepEqual(new Set(history.editedBeads()), new Set([3, 4, 5]));
    history.add(shiftPattern({ up: 1, right: 0 }), "pattern shifted up by one bead");
    assert.equal(history.editedBeads(), null);
    history.add({ kind: "chart", from: history.chart, to: chart(6) }, "charted");
    assert.deepEqual(history.editedBeads(), []);
    history.add(/** @type {Edit} */ (insertRows(history.chart, 2)), "2 rows added");
    assert.equal(history.editedBeads(), null);
  });
});

describe("over the seam", () => {
  /**
   * A closed band, all of one colour but for a motif of five columns.
   * @param {number} rows
   * @param {number} bottom
   * @param {number} top
   */
  function ring(rows, bottom, top) {
    const now = { ...chart(1), columns: 9, rows, closed: true };
    now.beads = new Uint16Array(lattice.count(now));
    const box = { left: 3, right: 7, bottom, top };
    for (const bead of lattice.beadsInBox(now, box)) now.beads[bead] = 1 + (bead % 3);
    return { now: /** @type {Chart} */ (now), box };
  }

  test("a motif moved all the way round is whole at every step and ends where it began", () => {
    for (const step of [2, 1, -2, 5, -7]) {
      const { now, box } = ring(20, 14, 18);
      let [after, at] = [now, box];
      const motif = liftMotif(now, box).cells;
      assert.equal(motif.length, 12);
      for (let nth = 0; nth < 20; nth++) {
        const by = lattice.limitStep(after, at, {
          rows: step,
          columns: step % 2 ? (nth % 2 ? -1 : 1) : 0,
        });
        assert.equal(by.rows, step);
        after = applyEdit(after, /** @type {Edit} */ (moveMotif(after, at, by, now.colours[0])));
        at = lattice.moveBox(after, at, by);
        assert.ok(
          at.bottom >= 1 && at.bottom <= 20 && at.top - at.bottom === 4,
          JSON.stringify(at),
        );
        assert.equal(after.beads.filter((bead) => bead > 0).length, 12, "no bead is lost");
        // With its corner between beads a motif is lifted from one column further left.
        const off = (at.left + at.bottom) % 2;
        assert.deepEqual(
          liftMotif(after, at).cells.map((cell) => ({ ...cell, column: cell.column - off })),
          motif.map((cell) => ({ ...cell, column: cell.column - ((box.left + box.bottom) % 2) })),
        );
      }
      assert.deepEqual(after.beads, now.beads);
      assert.deepEqual(at, box);
    }
  });

  test("a box has the beads of a shifted band's box; it is placed as lifted, and flipped", () => {
    const { now, box } = ring(20, 18, 23);
    assert.deepEqual(lattice.beadsInBox(now, box).length, 15);
    for (let bead = 0; bead < now.beads.length; bead++)
      assert.equal(lattice.isInBox(now, box, bead), lattice.beadsInBox(now, box).includes(bead));
    // Five beads further up by turning the band (ten rows) the seam is no longer in it.
    const up = applyEdit(now, shiftPattern({ up: 5, right: 0 }));
    assert.deepEqual(liftMotif(up, { ...box, bottom: 8, top: 13 }), liftMotif(now, box));
    const over = flipMotif(liftMotif(now, box));
    const left = box.left - ((box.left + box.bottom) % 2);
    const turned = applyEdit(
      now,
      /** @type {Edit} */ (placeMotif(now, over, { row: box.bottom, column: left })),
    );
    for (const { bead, row, column } of lattice.placesIn(now, box)) {
      assert.equal(
        turned.beads[lattice.beadAt(now, { row, column: 10 - column })],
        now.beads[bead],
      );
    }
  });

  test("a line goes the way that the pointer went", () => {
    const band = { columns: 9, rows: 40, closed: true };
    const rows = (/** @type {number[]} */ beads) =>
      beads.map((bead) => lattice.place(band, bead).row);
    assert.deepEqual(
      rows(lattice.line(band, { row: 37, column: 5 }, { row: 43, column: 5 })),
      [37, 39, 1, 3],
    );
    assert.deepEqual(
      rows(lattice.line(band, { row: 3, column: 5 }, { row: -1, column: 5 })),
      [3, 1, 39],
    );
    assert.deepEqual(
      rows(lattice.line(band, { row: 37, column: 5 }, { row: 33, column: 5 })),
      [37, 35, 33],
    );
    assert.deepEqual(lattice.boxBetween(band, { row: 43, column: 5 }, { row: 37, column: 3 }), {
      left: 3,
      right: 5,
      bottom: 37,
      top: 43,
    });
    assert.deepEqual(lattice.boxBetween(band, { row: -2, column: 2 }, { row: 3, column: 3 }), {
      left: 2,
      right: 3,
      bottom: 38,
      top: 43,
    });
    // Counted on by keys, step by step.
    let [bead, to] = [lattice.index(band, 39, 5), { row: 39, column: 5 }];
    for (let nth = 0; nth < 4; nth++) {
      bead = lattice.nextBead(band, bead, "up");
      to = lattice.nearestPlace(band, bead, to);
    }
    assert.equal(to.row, 43);
  });
});

describe("at the edges", () => {
  test("a motif stops there whole, wherever it is moved", () => {
    for (let seed = 0; seed < CASES; seed++) {
      const now = chart(seed);
      const random = randomNumbers(seed + 300);
      const spot = () => lattice.place(now, random(now.beads.length));
      const box = lattice.boxBetween(now, spot(), spot());
      const by = lattice.limitStep(now, box, { rows: random(61) - 30, columns: random(41) - 20 });
      assert.ok((by.rows + by.columns) % 2 === 0);
      const to = lattice.moveBox(now, box, by);
      assert.ok(
        to.left >= 1 &&
          to.right <= now.columns &&
          to.bottom >= 1 &&
          (now.closed || to.top <= now.rows),
        JSON.stringify({ box, by, to }),
      );
      const edit = moveMotif(now, box, by, colour(8));
      const after = edit ? applyEdit(now, edit) : now;
      const names = (
        /** @type {Chart} */ of,
        /** @type {import("../../src/desk/page/lattice.js").Box} */ here,
      ) => lattice.beadsInBox(of, here).map((bead) => of.colours[Number(of.beads[bead])]?.code);
      assert.deepEqual(names(after, to), names(now, box));
    }
  });

  test("a copy placed over an edge is cut off there, and stays under the pointer", () => {
    const now = /** @type {Chart} */ ({ ...chart(1), columns: 15, rows: 20, closed: false });
    now.beads = new Uint16Array(lattice.count(now));
    for (const bead of lattice.beadsInBox(now, { left: 6, right: 10, bottom: 8, top: 12 }))
      now.beads[bead] = 2;
    const motif = liftMotif(now, { left: 6, right: 10, bottom: 8, top: 12 });
    const after = applyEdit(
      now,
      /** @type {Edit} */ (placeMotif(now, motif, { row: 0, column: 8 })),
    );
    const set = [...after.beads].flatMap((bead, at) => (bead === now.beads[at] ? [] : [at]));
    assert.deepEqual(set, lattice.beadsInBox(now, { left: 8, right: 12, bottom: 1, top: 4 }));
  });
});

test("a pattern shifts as upbead shift moves it", async () => {
  const file = (/** @type {string} */ name) =>
    readFile(new URL(`../${name}`, import.meta.url), "utf8");
  const before = readChart(await file("data/gull.json"));
  const after = applyEdit(before, shiftPattern({ up: 2, right: -1 }));
  const drawn = (await file("golden/mend/shift.txt")).trim().split("\n\n")[1].split("\n");
  const rows = drawn.reverse().map((line) => line.trim().split(/ +/).slice(1).map(Number));
  assert.deepEqual([...after.beads], rows.flat());
});
