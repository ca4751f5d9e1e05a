// What a picture is read as: the chart of the command line without options, and how to overrule it.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { describe, test } from "node:test";
import {
  chartBeadByBead,
  drop,
  DUSK,
  give,
  KEPT,
  openChart,
  ready,
  sample,
  sharedDesk,
  sit,
  stateSays,
  still,
  text,
  TIN,
  written,
} from "./desk-harness.js";
import { upbead, words } from "./harness.js";

/** @import { Page } from "playwright-core" */

const FOX = sample("tests/data/artwork/fox.png");

/** Fields that are open until the user sets them. */
const OPEN = words("place match mirror colours calm scaling rotate");

const open = sharedDesk();

describe("a picture without options", () => {
  test("gets the chart of the command line, and the page says why", async () => {
    await sit(open, async (page) => {
      await drop(page, "fox.png", readFileSync(FOX));
      await page.locator("#reading:visible").waitFor();
      await still(page);
      assert.equal(await text(page), charted(FOX));
      const told = await page.innerText("#reading");
      assert.match(told, /^Read as a drawing in \d+ flat colours on a clear ground.*: “/);
      for (const label of ["Place: once", "Colour matching: flat colours"]) {
        assert.ok(told.includes(`“${label}”`), told);
      }
      assert.match(told, /“Colour matching: bead by bead” turns this off\.$/);
      assert.doesNotMatch(await page.innerText("#notes"), /Read as/);
      assert.deepEqual(await openFields(page), OPEN, "the form shows what the user has set");
    });
  });

  test("of continuous tone is improved as a whole", async () => {
    await sit(open, async (page) => {
      await give(page, "#picture-choose", DUSK);
      await page.locator("#reading", { hasText: "continuous tone" }).waitFor();
      await still(page);
      assert.equal(await text(page), charted(DUSK));
      const { crop } = JSON.parse(await text(page)).made.options;
      assert.match(await partInUse(page), partOf(crop), "the part that was chosen is shown");
      // No calm at all is something else than one that is left open.
      await page.fill("#calm", "0");
      await still(page);
      assert.equal(await text(page), charted(DUSK, "--calm", "0"));
      await page.focus("#crop");
      await page.keyboard.press("ArrowRight");
      await still(page);
      const [x, ...rest] = crop.split(",").map(Number);
      const moved = [x + 18, ...rest].join(",");
      assert.match(await partInUse(page), partOf(moved), "it is moved from where it was");
      assert.equal(await text(page), charted(DUSK, "--calm", "0", "--crop", moved));
      await page.selectOption("#match", "nearest");
      await page.click("#crop-reset");
      await still(page);
      assert.match(await partInUse(page), /the whole picture/);
    });
  });

  test("is placed and matched as the user says instead", async () => {
    await sit(open, async (page) => {
      await give(page, "#picture-choose", FOX);
      await still(page);
      await page.selectOption("#place", "round");
      await still(page);
      const round = charted(FOX, "--place", "round");
      assert.equal(await text(page), round);
      assert.doesNotMatch(await page.innerText("#reading"), /Place/);
      await page.selectOption("#match", "nearest");
      await still(page);
      assert.equal(await text(page), charted(FOX, "--place", "round", "--match", "nearest"));
      assert.ok(await page.locator("#reading").isHidden());
      await page.selectOption("#match", "flat");
      await page.selectOption("#mirror", "none");
      await page.selectOption("#place", "");
      await still(page);
      assert.equal(await text(page), charted(FOX, "--match", "flat", "--mirror", "none"));
      for (const field of ["#match", "#mirror"]) await page.selectOption(field, "");
      await still(page);
      assert.equal(await text(page), charted(FOX));
    });
  });
});

describe("the fields that are left open", () => {
  test("stay as they are when a chart is undone, and after a reload", async () => {
    await sit(open, async (page) => {
      await give(page, "#picture-choose", FOX);
      await page.selectOption("#mirror", "none");
      await page.fill("#calm", "0");
      await still(page);
      const made = await text(page);
      const left = words("place match colours scaling rotate");
      await page.click("#undo");
      assert.notEqual(await text(page), made);
      assert.deepEqual(await openFields(page), left);
      await page.click("#redo");
      assert.equal(await text(page), made);
      await stateSays(page, KEPT);
      await page.reload();
      await ready(page);
      assert.equal(await text(page), made);
      assert.deepEqual(await openFields(page), left);
      assert.deepEqual(
        [await page.inputValue("#mirror"), await page.inputValue("#calm")],
        ["none", "0"],
      );
      assert.match(await page.innerText("#reading"), /^Read as a drawing/);
    });
  });

  test("are those of the record once a chart is opened, and chart it alike", async () => {
    /** @type {[string, string[], string[]][]} */
    const charts = [
      [FOX, [], ["motif", "flat"]],
      [FOX, words("--match nearest"), ["round", "nearest"]],
      [DUSK, [], ["round", "nearest"]],
      // The pattern has other rows than the ring size asks for.
      [sample("tests/data/artwork/waves-4.png"), [], ["repeat", "flat"]],
    ];
    for (const [picture, options, [place, match]] of charts) {
      const made = charted(picture, ...options);
      await sit(open, async (page) => {
        await openChart(page, "read.json");
        await give(page, "#picture-choose", picture);
        await page.locator("#announcement", { hasText: "stays as it is" }).waitFor();
        assert.equal(await page.inputValue("#place"), place);
        assert.equal(await page.inputValue("#match"), match);
        const mirror = JSON.parse(made).made.options.mirror ?? "none";
        assert.equal(await page.inputValue("#mirror"), mirror);
        await page.click("#chart-picture");
        await still(page);
        const { rows, colours } = JSON.parse(await text(page));
        assert.deepEqual({ rows, colours }, rowsOf(made), `${picture} ${options}`);
      });
    }
  });

  test("can all be left to the picture again after bead-by-bead charts", async () => {
    await sit(open, async (page) => {
      await chartBeadByBead(page, FOX);
      await still(page);
      assert.equal(await text(page), charted(FOX, "--match", "nearest", "--colours", "8"));
      await page.selectOption("#match", "");
      await page.fill("#colours", "");
      await still(page);
      assert.equal(await text(page), charted(FOX));
    });
  });
});

/**
 * The fields that are left open.
 * @param {Page} page
 */
async function openFields(page) {
  const values = await Promise.all(OPEN.map((id) => page.inputValue(`#${id}`)));
  return OPEN.filter((_, nth) => values[nth] === "");
}

/**
 * What the frame says of the part of the picture in use.
 * @param {Page} page
 */
async function partInUse(page) {
  return String(await page.getAttribute("#crop", "aria-label"));
}

/**
 * How the frame words a part.
 * @param {string} crop as charts record it
 */
function partOf(crop) {
  const [x, y, width, height] = crop.split(",");
  return new RegExp(`from ${x} across, ${y} down; ${width} wide, ${height} high`);
}

/** @param {string} chart */
function rowsOf(chart) {
  const { rows, colours } = JSON.parse(chart);
  return { rows, colours };
}

/**
 * The ring that the command line makes of a picture.
 * @param {string} picture
 * @param {...string} options
 */
function charted(picture, ...options) {
  const band = words("--columns 9 --size us7 -o read.json --force");
  upbead("chart", picture, "--palette", TIN, ...band, ...options);
  return written("read.json");
}
