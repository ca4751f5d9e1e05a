// Tools across the seam, at the edges, with a pen.

import assert from "node:assert/strict";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, test } from "node:test";
import {
  draw,
  drop,
  middle,
  openChart,
  sharedDesk,
  sit,
  take,
  text,
  touch,
} from "./desk-harness.js";
import { folder, words } from "./harness.js";

/** @import { Page } from "playwright-core" */

const open = sharedDesk();

describe("over the seam, at the edges, with a pen", () => {
  /**
   * Opens a navy band with beads of other colours on it.
   * @param {Page} page
   * @param {number} columns
   * @param {number} rows
   * @param {boolean} closed
   * @param {[number, number][]} [red] rows and columns
   */
  async function band(page, columns, rows, closed, red = []) {
    const colours = [
      { code: "quay-58", name: "jersey navy", hex: "1C3261", finish: "opaque" },
      { code: "quay-11", name: "buoy red", hex: "CD2626", finish: "opaque" },
    ];
    const beads = Array.from({ length: rows }, (_, row) =>
      Array.from({ length: (columns + ((row + 1) % 2)) >> 1 }, (_, nth) =>
        red.some(([r, c]) => r === row + 1 && c === nth * 2 + 2 - ((row + 1) % 2)) ? 1 : 0,
      ),
    );
    const made = { source: "", sha256: "", options: {}, version: "0.1.0" };
    const chart = {
      format: "upbead-chart",
      version: 1,
      bead: { length_mm: 1.3, diameter_mm: 1.6, hole_mm: 0.8 },
      columns,
      closed,
      colours,
      rows: beads,
      made,
    };
    const name = `band-${columns}-${rows}-${closed}.json`;
    writeFileSync(join(folder, name), JSON.stringify(chart));
    await openChart(page, name);
    await page.waitForFunction(
      (rows) => /** @type {any} */ (window).upbeadDesk.canvas.chart.rows === rows,
      rows,
    );
  }

  /**
   * Rows and columns of the beads of a colour.
   * @param {Page} page
   * @param {string} name
   * @returns {Promise<string[]>}
   */
  function places(page, name) {
    return page.evaluate((name) => {
      const { state, lattice } = /** @type {any} */ (window).upbeadDesk;
      const { chart } = state.history;
      const found = [];
      for (let bead = 0; bead < chart.beads.length; bead++) {
        const { row, column } = lattice.place(chart, bead);
        if (chart.colours[chart.beads[bead]].name === name) found.push(`${row}:${column}`);
      }
      return found;
    }, name);
  }

  /**
   * Draws upwards from a bead by so many rows, over the end of the band if need be.
   * @param {Page} page
   * @param {[number, number]} from
   * @param {number} rows
   */
  async function up(page, from, rows) {
    const { x, y } = await middle(page, ...from);
    const half = await page.evaluate(
      () => /** @type {any} */ (window).upbeadDesk.canvas.half / devicePixelRatio,
    );
    await page.mouse.move(x, y);
    await page.mouse.down();
    await page.mouse.move(x, y - rows * half, { steps: 7 });
    await page.mouse.up();
  }

  test("lines and motifs follow the pointer across the seam", async () => {
    await sit(open, async (page) => {
      const motif = /** @type {[number, number][]} */ ([
        [14, 4],
        [15, 5],
        [16, 4],
        [18, 6],
      ]);
      await band(page, 9, 20, true, motif);
      await page.click("[data-tool=motif]");
      await draw(page, [14, 4], [18, 6]);
      await page.focus("#viewport");
      for (let nth = 0; nth < 5; nth++) await page.keyboard.press("Alt+ArrowUp");
      assert.deepEqual(await places(page, "buoy red"), ["4:4", "5:5", "6:4", "8:6"]);
      for (let nth = 0; nth < 3; nth++) await page.keyboard.press("Alt+ArrowDown");
      assert.deepEqual(await places(page, "buoy red"), ["2:6", "18:4", "19:5", "20:4"]);
      // By mouse, from the part above the seam.
      await draw(page, [18, 4], [14, 4]);
      assert.deepEqual(await places(page, "buoy red"), ["14:4", "15:5", "16:4", "18:6"]);
      await page.keyboard.press("Escape");

      await band(page, 9, 40, true);
      await take(page, "buoy red");
      for (const tool of ["line", "bead"]) {
        await page.click(`[data-tool=${tool}]`);
        await up(page, [37, 5], 6);
        assert.deepEqual(await places(page, "buoy red"), ["1:5", "3:5", "37:5", "39:5"], tool);
        await page.click("#undo");
      }
      await page.click("[data-tool=motif]");
      await up(page, [37, 5], 6);
      await page.click("#motif-actions [data-action=fill]");
      assert.deepEqual(await places(page, "buoy red"), ["1:5", "3:5", "37:5", "39:5"]);
      await page.keyboard.press("Escape");
      await page.click("#undo");
      // By keyboard: up and up from row 39, column 5.
      await page.focus("#viewport");
      await page.evaluate(() => {
        const { state, canvas, lattice } = /** @type {any} */ (window).upbeadDesk;
        canvas.overlay.cursor = lattice.index(state.history.chart, 39, 5);
      });
      await page.keyboard.press("l");
      for (const key of ["Space", "ArrowUp", "ArrowUp", "ArrowUp", "ArrowUp", "Space"])
        await page.keyboard.press(key);
      assert.deepEqual(await places(page, "buoy red"), ["1:5", "3:5", "39:5"]);
    });
  });

  test("a copy near an edge lies under the pointer; a moved motif stops at an edge", async () => {
    await sit(open, async (page) => {
      await band(page, 15, 20, false, [
        [10, 8],
        [11, 9],
        [12, 10],
      ]);
      await page.click("[data-tool=motif]");
      await draw(page, [8, 6], [12, 10]);
      await page.click("#motif-actions [data-action=copy]");
      await touch(page, 2, 10);
      assert.deepEqual(await places(page, "buoy red"), [
        ...words("2:10 3:11 4:12 10:8 11:9 12:10"),
      ]);
      await page.keyboard.press("Escape");
      await page.click("#undo");
      await draw(page, [8, 6], [12, 10]);
      await page.focus("#viewport");
      for (let nth = 0; nth < 6; nth++) await page.keyboard.press("Alt+ArrowUp");
      assert.equal(await page.textContent("#announcement"), "The motif is at the edge");
      assert.deepEqual(await places(page, "buoy red"), ["18:8", "19:9", "20:10"]);
    });
  });

  test("what was started is cancelled when the band changes its shape", async () => {
    await sit(open, async (page) => {
      await band(page, 9, 80, true);
      await page.focus("#viewport");
      for (const [tool, begun] of [
        ["l", "preview"],
        ["o", "box"],
      ]) {
        await page.keyboard.press(tool);
        await page.evaluate(() => {
          /** @type {any} */ (window).upbeadDesk.canvas.overlay.cursor = 320;
        });
        for (const key of ["Space", "ArrowUp"]) await page.keyboard.press(key);
        assert.ok(
          await page.evaluate(
            (begun) => /** @type {any} */ (window).upbeadDesk.canvas.overlay[begun],
            begun,
          ),
        );
        await page.evaluate(() => {
          const { run, edits, state } = /** @type {any} */ (window).upbeadDesk;
          const { chart } = state.history;
          run(
            { kind: "chart", from: chart, to: edits.applyEdit(chart, edits.narrowEdges(chart)) },
            "the band charted",
          );
        });
        const over = await page.evaluate(() => {
          const { anchor, box, preview, cursor } = /** @type {any} */ (window).upbeadDesk.canvas
            .overlay;
          return { anchor, box, preview: preview.size, cursor };
        });
        assert.deepEqual(over, { anchor: -1, box: null, preview: 0, cursor: 199 });
        const before_ = await text(page);
        for (const key of ["ArrowUp", "Space"]) await page.keyboard.press(key);
        assert.equal(await text(page), before_, "Space starts again");
        await page.keyboard.press("Escape");
        await page.click("#undo");
        await page.focus("#viewport");
      }
      // With the mouse held down.
      await page.click("[data-tool=line]");
      const at = await middle(page, 77, 9);
      await page.mouse.move(at.x, at.y);
      await page.mouse.down();
      await page.mouse.move(at.x, at.y + 20, { steps: 3 });
      await page.evaluate(() => {
        const { run, edits, state } = /** @type {any} */ (window).upbeadDesk;
        const { chart } = state.history;
        run(
          { kind: "chart", from: chart, to: edits.applyEdit(chart, edits.narrowEdges(chart)) },
          "the band charted",
        );
      });
      const before_ = await text(page);
      await page.mouse.move(at.x, at.y + 40, { steps: 3 });
      await page.mouse.up();
      assert.equal(await text(page), before_);
    });
  });

  test("a palm on the screen does not end a pen's stroke", async () => {
    await sit(
      open,
      async (page) => {
        await band(page, 9, 40, true);
        await take(page, "buoy red");
        const from = await middle(page, 11, 5);
        const to = await middle(page, 19, 5);
        await page.evaluate(
          ({ from, to }) => {
            const canvas = /** @type {HTMLElement} */ (document.getElementById("band"));
            const point = (
              /** @type {string} */ kind,
              /** @type {string} */ pointerType,
              /** @type {number} */ pointerId,
              /** @type {{x: number, y: number}} */ at,
            ) =>
              canvas.dispatchEvent(
                new PointerEvent(kind, {
                  pointerId,
                  pointerType,
                  clientX: at.x,
                  clientY: at.y,
                  bubbles: true,
                  button: kind === "pointermove" ? -1 : 0,
                  buttons: 1,
                }),
              );
            const palm = { x: from.x + 60, y: from.y + 60 };
            // One palm lies there before the pen comes, another comes while it draws.
            point("pointerdown", "touch", 5, palm);
            point("pointerdown", "pen", 6, from);
            point("pointerdown", "touch", 7, palm);
            point("pointermove", "touch", 7, { x: palm.x, y: palm.y + 30 });
            point("pointermove", "pen", 6, { x: from.x, y: (from.y + to.y) / 2 });
            point("pointerup", "touch", 7, palm);
            point("pointerup", "touch", 5, palm);
            point("pointermove", "pen", 6, to);
            point("pointerup", "pen", 6, to);
          },
          { from, to },
        );
        assert.deepEqual(await places(page, "buoy red"), ["11:5", "13:5", "15:5", "17:5", "19:5"]);
      },
      { hasTouch: true },
    );
  });

  test("a palette's colour with a code of the band is not mistaken for the band's", async () => {
    await sit(open, async (page) => {
      await band(page, 9, 40, true, [
        [11, 5],
        [13, 5],
      ]);
      await page.click("[data-tool=motif]");
      await draw(page, [11, 5], [13, 5]);
      await page.click("#motif-actions [data-action=copy]");
      const kept = await text(page);
      await drop(
        page,
        "reef.csv",
        Buffer.from(
          "code,name,hex\nquay-11,sea green,00AA66\nquay-58,jersey navy,1C3261\n" +
            "quay-90,brick,C03020\n",
        ),
      );
      await page.waitForFunction(
        () => /** @type {any} */ (window).upbeadDesk.state.palette.name === "reef",
      );
      await page.click("#palette-button");
      await page.locator(".palette-colour", { hasText: "sea green" }).click();
      assert.equal(
        await page.textContent("#recolour-reason"),
        "The code quay-11 stands for buoy red in the band, not for sea green. " +
          "Change the band to this palette first.",
      );
      assert.notEqual(await page.textContent("#current-name"), "sea green");
      assert.equal(await text(page), kept);
      await page.click("#recolour");
      await page.locator("#recolour-offer").waitFor({ state: "hidden" });
      assert.deepEqual(await places(page, "brick"), ["11:5", "13:5"]);
      await page.locator(".palette-colour", { hasText: "sea green" }).click();
      assert.equal(await page.textContent("#current-name"), "sea green");
      await page.click("[data-tool=bead]");
      await touch(page, 21, 5);
      assert.deepEqual(await places(page, "sea green"), ["21:5"]);
      const laid = JSON.parse(await text(page)).colours.find(
        (/** @type {any} */ colour) => colour.code === "quay-11",
      );
      assert.equal(laid.hex, "00AA66");
      // A copy of the beads as they were in the old palette.
      await page.evaluate(() => {
        const { tools } = /** @type {any} */ (window).upbeadDesk;
        const colour = { code: "quay-11", name: "buoy red", hex: "CD2626" };
        tools.motif = { rows: 1, columns: 1, cells: [{ row: 0, column: 0, colour }] };
        tools.tool = "copy";
      });
      const before_ = await text(page);
      await touch(page, 31, 5);
      assert.match(
        String(await page.textContent("#error-what")),
        /code quay-11 stands for sea green in the band, not for buoy red/,
      );
      assert.equal(await text(page), before_);
    });
  });
});
