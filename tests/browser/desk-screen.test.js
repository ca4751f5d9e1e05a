// What is on the screen: painting, accessibility, sizes.

import assert from "node:assert/strict";
import { writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { describe, test } from "node:test";
import {
  chartBeadByBead,
  draw,
  DUSK,
  give,
  makeKittiwake,
  openChart,
  ready,
  sample,
  sharedDesk,
  sit,
  still,
} from "./desk-harness.js";
import { folder } from "./harness.js";

/** @import { Page } from "playwright-core" */

const AXE = createRequire(import.meta.url).resolve("axe-core/axe.min.js");

const open = sharedDesk(makeKittiwake);

describe("on the screen", () => {
  test("a changed field asks for one chart, in a ring and in a panel", async () => {
    await sit(open, async (page) => {
      let requests = 0;
      page.on("request", (request) => {
        if (new URL(request.url()).pathname.endsWith("/chart")) requests += 1;
      });
      const change = async (/** @type {number} */ columns) => {
        await still(page);
        requests = 0;
        await page.evaluate(drawnWith, columns);
        assert.equal(requests, 1, `${columns} columns`);
      };
      await chartBeadByBead(page, DUSK);
      for (const columns of [11, 13]) await change(columns);
      await page.selectOption("#length-by", "open");
      await page.fill("#rows", "240");
      await change(81);
    });
  });

  test("of 20,000 beads only the changed one is painted", async () => {
    const rows = Array.from({ length: 400 }, (_, row) =>
      Array.from({ length: 50 }, (_, at) => (Math.floor(row / 9) + Math.floor(at / 4)) % 6),
    );
    const colours = ["FAFAF6", "1C3261", "CD2626", "2D847B", "C89A3F", "72AACC"].map(
      (hex, nth) => ({ code: `c${nth}`, name: `sea ${nth}`, hex }),
    );
    const panel = {
      format: "upbead-chart",
      version: 1,
      bead: { length_mm: 1.3, diameter_mm: 1.6, hole_mm: 0.8 },
      columns: 100,
      closed: false,
      colours,
      rows,
      made: { source: "", sha256: "", options: {}, version: "" },
    };
    writeFileSync(join(folder, "panel.json"), JSON.stringify(panel));
    await sit(open, async (page) => {
      await openChart(page, "panel.json");
      const painted = await page.evaluate(paintedBeads);
      const { down, up, one, thirty } = painted;
      assert.ok(down > 4000 && down < 20000, `${down} beads painted on the way down`);
      assert.equal(up, 0, "what was in sight before is not painted again");
      // A bead that changes is painted alone, in the tiles that show it: at most four.
      assert.ok(one >= 1 && one <= 4, `${one} beads painted for one`);
      assert.ok(thirty >= 30 && thirty <= 120, `${thirty} beads painted for thirty`);
    });
  });

  for (const colorScheme of /** @type {const} */ (["light", "dark"])) {
    test(`axe finds nothing, ${colorScheme}`, async () => {
      await sit(
        open,
        async (page) => {
          await openChart(page, "kittiwake.json");
          await page.locator(".problem").first().click();
          await axe(page, "the page");
          await chartBeadByBead(page, sample("samples/kittiwake.png"));
          await page.locator("#compare:visible").waitFor();
          await page.evaluate(() => {
            for (const fold of document.querySelectorAll("main details"))
              fold.toggleAttribute("open", true);
          });
          await page.selectOption("#position", "custom");
          await page.check("#refine");
          await page.selectOption("#distances", "custom");
          await page.locator("#compare-figures dd").first().waitFor();
          await page.locator("#row-counts-list button").first().waitFor();
          await axe(page, "all unfolded");
          await page.click("[data-tool=motif]");
          await draw(page, [9, 3], [15, 7]);
          await axe(page, "a motif");
          for (const [button, what] of [
            ["#palette-button", "#palette"],
            ["#shortcuts-open", "#shortcuts"],
            ["#calibrate-open", "#calibration"],
            ["#export", "#export-panel"],
            ["#band-panel-open", "#band-panel"],
            ["#steps-open", "#steps-panel"],
            ["#start-open", "#start"],
          ]) {
            await page.click(String(button));
            await page.locator(`${what}:visible`).waitFor();
            // Under the pointer too, where a button's ground is another.
            if (what === "#palette") await page.hover("#palette-colours button");
            await axe(page, String(what), String(what));
            if (what === "#palette") await axePaletteViews(page);
            for (const fold of await page.locator(`${what} details`).all()) {
              await fold.evaluate((each) => each.toggleAttribute("open", true));
              await page.waitForTimeout(300);
              const name = await fold.locator("summary").textContent();
              await axe(page, `${what}, unfolded: ${name}`, String(what));
            }
            await page.keyboard.press("Escape");
          }
        },
        { colorScheme, bypassCSP: true },
      );
    });
  }

  test("nothing overflows sideways and every button is large enough on every screen", async () => {
    for (const viewport of [
      { width: 1280, height: 800 },
      { width: 820, height: 1180 },
      { width: 320, height: 640 },
      { width: 390, height: 844 },
    ]) {
      await sit(
        open,
        async (page) => {
          const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
          assert.ok(wide <= 0, `${wide} px too wide at ${viewport.width}`);
          const small = await page.evaluate(() =>
            [
              ...document.querySelectorAll(
                "main button, header button, main select, main input:not([type=checkbox])",
              ),
            ].flatMap((button) => {
              const { width, height } = button.getBoundingClientRect();
              return width && (height < 44 || width < 44)
                ? [`${button.id || button.textContent} ${width}×${height}`]
                : [];
            }),
          );
          assert.deepEqual(small, []);
        },
        { viewport },
      );
    }
  });

  test("a calibrated screen shows the band at true size", async () => {
    await sit(open, async (page) => {
      await page.click("#calibrate-open");
      // ISO/IEC 7810:2019 ID-1: a card is 85.60 mm wide.
      await page.locator("#card-width").fill("428");
      assert.equal(
        await page.evaluate(() => document.getElementById("card")?.getBoundingClientRect().width),
        428,
      );
      await page.click("#calibration-save");
      await page.waitForTimeout(400);
      const width = await page.evaluate(
        () => document.getElementById("true-band")?.getBoundingClientRect().width ?? 0,
      );
      // 9 columns of 1.3 mm at 428 / 85.6 = 5 pixels a millimetre, to the pixel.
      assert.ok(Math.abs(width - 9 * 1.3 * 5) <= 1, `${width} px`);
      await page.reload();
      await ready(page);
      assert.equal(await page.textContent("#calibrate-open"), "recalibrate");
    });
  });
});

/**
 * Looks at the page, or at what is inside one part of it: a panel leaves the rest as it was.
 * @param {Page} page
 * @param {string} what
 * @param {string} within
 */
async function axe(page, what, within = "html") {
  if (!(await page.evaluate(() => "axe" in window))) await page.addScriptTag({ path: AXE });
  const found = await page.evaluate(async (within) => {
    // What the dark changes is colours; all else has been looked at in the light.
    const { passes, violations } = await /** @type {any} */ (window).axe.run(within, {
      runOnly: matchMedia("(prefers-color-scheme: dark)").matches
        ? ["color-contrast"]
        : ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
    });
    if (passes.length === 0) throw new Error(`axe looked at nothing in ${within}`);
    return violations.map((/** @type {any} */ each) =>
      [
        each.impact,
        each.id,
        ...each.nodes.map((/** @type {any} */ node) => `${node.target} ${node.failureSummary}`),
      ].join("; "),
    );
  }, within);
  assert.deepEqual(found, [], what);
}

/**
 * Looks at the palette's other views: with a fault, with a photo, with beads that are short.
 * @param {Page} page
 */
async function axePaletteViews(page) {
  const show = (/** @type {string} */ view) =>
    page.locator(`.palette-tabs label:has([value=${view}])`).click();
  await show("edit");
  await page.locator(".palette-row [data-field=hex]").nth(2).fill("kelp");
  await page.keyboard.press("Tab");
  await page.locator(".row-remove").nth(2).click();
  await give(page, "#tray-open", sample("samples/tray.jpg"));
  await page.locator("#tray-photo").waitFor();
  await axe(page, "the palette's colours to edit", "#palette");
  await show("kit");
  await page.fill("#kit-make", "90");
  await page.locator("#kit-rows tr.short").first().waitFor();
  await axe(page, "the kit", "#palette");
  await show("colours");
}

/**
 * Types a number of columns and waits until a band with so many is drawn. Runs in the page.
 * @param {number} columns
 */
async function drawnWith(columns) {
  const { state, canvas } = /** @type {any} */ (window).upbeadDesk;
  const field = /** @type {HTMLInputElement} */ (document.getElementById("columns"));
  field.value = String(columns);
  field.dispatchEvent(new Event("input", { bubbles: true }));
  let frame = canvas.frames;
  while (state.history.chart.columns !== columns || canvas.frames === frame) {
    if (state.history.chart.columns !== columns) frame = canvas.frames;
    await new Promise((done) => requestAnimationFrame(done));
  }
}

/**
 * How many beads are painted while large beads are scrolled down and up again, while one bead
 * changes, and while thirty do, one in each frame. Runs in the page.
 */
async function paintedBeads() {
  const { canvas, tools } = /** @type {any} */ (window).upbeadDesk;
  const viewport = /** @type {HTMLElement} */ (document.getElementById("viewport"));
  const drawn = async () => {
    const frame = canvas.frames;
    canvas.redraw();
    while (canvas.frames === frame) await new Promise((done) => requestAnimationFrame(done));
  };
  const counted = async (/** @type {() => Promise<void>} */ action) => {
    const before = canvas.paintedBeads;
    await action();
    return canvas.paintedBeads - before;
  };
  const scrolled = async (/** @type {number[]} */ parts) => {
    const most = viewport.scrollHeight - viewport.clientHeight;
    for (const part of parts) {
      viewport.scrollTop = (most * part) / 20;
      await drawn();
    }
  };
  const set = async (/** @type {number} */ bead) => {
    tools.set([bead]);
    await drawn();
  };
  const parts = Array.from({ length: 21 }, (_, at) => at);
  viewport.scrollTop = 0;
  canvas.setZoom(9);
  const down = await counted(() => scrolled(parts));
  const up = await counted(() => scrolled(parts.toReversed()));
  const one = await counted(() => set(10025));
  const thirty = await counted(async () => {
    for (let at = 0; at < 30; at++) await set(7025 + 50 * at);
  });
  canvas.fitZoom();
  return { down, up, one, thirty };
}
