// The start page: designs that are kept by themselves, a folder, starter bands and motifs.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { describe, test } from "node:test";
import {
  beside,
  chartBeadByBead,
  makeTide,
  openChart,
  ready,
  sample,
  saved,
  sharedDesk,
  sit,
  still,
  text,
  touch,
  written,
} from "./desk-harness.js";
import { upbead } from "./harness.js";

/** @import { Page } from "playwright-core" */

const open = sharedDesk(makeTide);

describe("the start page", () => {
  test("designs keep themselves, come back with picture and undo, the last one first", async () => {
    await sit(open, async (page) => {
      await chartBeadByBead(page, sample("samples/kittiwake.png"));
      await still(page);
      await touch(page, 5, 3);
      await page.fill("#title", "Gull");
      await page.keyboard.press("Tab");
      const gull = await text(page);
      await starter(page, "Lighthouse");
      await touch(page, 7, 3);
      const light = await text(page);
      await designs(page, ["Lighthouse", "Gull"]);
      await page.click("#own-designs [aria-label='Open Gull']");
      await page.locator("#start").waitFor({ state: "hidden" });
      assert.equal(await text(page), gull);
      assert.equal(await page.textContent("#picture-change"), "Change picture");
      assert.ok(await page.locator("#picture-image").isVisible());
      await page.click("#undo");
      await page.click("#undo");
      assert.notEqual(await text(page), gull);
      await page.click("#redo");
      await page.click("#redo");
      assert.equal(await text(page), gull);
      await designs(page, ["Lighthouse", "Gull"]);
      // Looked at, not changed: the order stays, and the other is what it was.
      await page.click("#own-designs [aria-label='Open Lighthouse']");
      await page.locator("#start").waitFor({ state: "hidden" });
      assert.equal(await text(page), light);
    });
  });

  test("a page that opens with nothing to go on with shows the designs", async () => {
    await sit(open, async (page) => {
      await openChart(page, "tide.json");
      await touch(page, 5, 3);
      const tide = await text(page);
      await saved(page, () => page.click("#save-chart"));
      await designs(page, ["tide"]);
      const other = await beside(page, open.address);
      await other.locator("#start:visible").waitFor();
      // Another tab has it open, so that this one goes on with a copy.
      await other.click("#own-designs [aria-label='Open tide']");
      await other.locator("#start").waitFor({ state: "hidden" });
      assert.equal(await text(other), tide);
      await touch(other, 9, 3);
      await other.fill("#title", "Second");
      await other.keyboard.press("Tab");
      await designs(other, ["Second", "tide"]);
      assert.equal(await text(page), tide);
    });
  });

  test("a design is duplicated, renamed, deleted and brought back", async () => {
    await sit(open, async (page) => {
      await starter(page, "Anchor");
      await touch(page, 5, 3);
      const anchor = await text(page);
      await starter(page, "Tide line");
      await touch(page, 5, 3);
      await designs(page, ["Tide line", "Anchor"]);
      await page.click("[aria-label='Duplicate Anchor']");
      await names(page, ["Anchor, copy", "Tide line", "Anchor"]);
      await page.click("[aria-label='Rename Anchor, copy']");
      await page.keyboard.type("Mooring");
      await page.keyboard.press("Enter");
      await names(page, ["Mooring", "Tide line", "Anchor"]);
      await page.click("[aria-label='Rename Tide line']");
      await page.keyboard.type("never mind");
      await page.keyboard.press("Escape");
      await names(page, ["Mooring", "Tide line", "Anchor"]);
      assert.ok(await page.locator("[aria-label='Delete Tide line']").isDisabled());
      await page.click("[aria-label='Delete Anchor']");
      await names(page, ["Mooring", "Tide line"]);
      await page.locator("#start-undo", { hasText: "Anchor is deleted." }).waitFor();
      await page.click("#start-undo-button");
      await names(page, ["Mooring", "Tide line", "Anchor"]);
      await page.click("#own-designs [aria-label='Open Mooring']");
      await page.locator("#start").waitFor({ state: "hidden" });
      assert.equal(await page.inputValue("#title"), "Mooring");
      assert.deepEqual(JSON.parse(await text(page)).rows, JSON.parse(anchor).rows);
      // The name is an edit like any other.
      await page.click("#undo");
      assert.equal(await page.inputValue("#title"), "Anchor, copy");
      await page.reload();
      await ready(page);
      await designs(page, ["Anchor, copy", "Tide line", "Anchor"]);
    });
  });

  test("a starter opened over unsaved work is one step to undo, and both are kept", async () => {
    await sit(open, async (page) => {
      await touch(page, 5, 3);
      const plain = await text(page);
      await starter(page, "Gull tracks");
      await touch(page, 5, 3);
      await designs(page, ["Gull tracks", "untitled band"]);
      await page.keyboard.press("Escape");
      await page.click("#undo");
      await page.click("#undo");
      assert.equal(await text(page), plain);
      await designs(page, ["untitled band", "Gull tracks"]);
    });
  });

  test("each starter band is what its record says, in a palette that comes along", async () => {
    await sit(open, async (page) => {
      await page.click("#start-open");
      const bands = page.locator("#starter-bands .tile-name");
      await bands.first().waitFor();
      for (const name of await bands.allTextContents()) {
        if (await page.locator("#start").isHidden()) await page.click("#start-open");
        await page.click(`#starter-bands [aria-label='Open ${name}']`);
        await page.locator("#start").waitFor({ state: "hidden" });
        const chart = JSON.parse(await text(page));
        assert.equal(chart.title, name);
        // The palette in use stays where it has all colours.
        const codes = await page.evaluate(() =>
          /** @type {any} */ (window).upbeadDesk.state.palette.colours.map(
            (/** @type {any} */ colour) => colour.code,
          ),
        );
        for (const { code } of chart.colours) assert.ok(codes.includes(code), `${name}: ${code}`);
        assert.equal(await page.locator("#recolour-offer").isVisible(), false);
        assert.equal(await page.textContent("#save-state"), "no changes");
      }
    });
  });

  test("a motif is charted on a new band", async () => {
    await sit(open, async (page) => {
      await page.click("#start-open");
      await page.click("#starter-motifs [aria-label='Open Fish hook']");
      await page.locator("#start").waitFor({ state: "hidden" });
      await still(page);
      const chart = JSON.parse(await text(page));
      const tin = ["--palette", sample("palettes/tin.csv"), "--columns", "9", "--size", "us7"];
      upbead("chart", sample("samples/fish-hook.svg"), ...tin, "-o", "hook.json", "--force");
      const hook = JSON.parse(written("hook.json"));
      assert.deepEqual([chart.rows, chart.colours], [hook.rows, hook.colours]);
    });
  });

  test("a folder of charts: what is saved goes there, and what is there is shown", async () => {
    await sit(
      open,
      async (page) => {
        await starter(page, "Anchor");
        await touch(page, 5, 3);
        await page.click("#start-open");
        await page.click("#folder-choose");
        await page.locator("#folder-leave").waitFor();
        await page.click("#start-close");
        await page.click("#save-chart");
        await page.locator("#announcement", { hasText: "Saved as anchor.json" }).waitFor();
        assert.equal(await inFolder(page, "anchor.json"), await text(page));
        await page.click("#start-open");
        await page.locator("#folder-charts [aria-label='Open anchor.json']").waitFor();
        await page.click("#start-plain");
        await page.locator("#start").waitFor({ state: "hidden" });
        await page.click("#start-open");
        await page.click("#folder-charts [aria-label='Open anchor.json']");
        await page.locator("#start").waitFor({ state: "hidden" });
        // It is the file that saving goes on with.
        await touch(page, 9, 3);
        await page.click("#save-chart");
        await page.locator("#announcement", { hasText: "Saved as anchor.json" }).waitFor();
        assert.equal(await inFolder(page, "anchor.json"), await text(page));
        assert.equal(await inFolder(page, "anchor-2.json"), null);
        await page.reload();
        await ready(page);
        await page.click("#start-open");
        await page.locator("#folder-charts [aria-label='Open anchor.json']").waitFor();
        await page.click("#folder-leave");
        await page.locator("#folder-charts li").first().waitFor({ state: "detached" });
        assert.ok(await inFolder(page, "anchor.json"));
      },
      { before: useOwnFolder },
    );
  });

  test("the starter bands are made anew by the program", () => {
    const file = (/** @type {string} */ name) => sample(`src/desk/starters/${name}.json`);
    const chart = readFileSync(file("gull-tracks"), "utf8");
    const tin = ["--palette", sample("palettes/tin.csv"), "--columns", "9", "--size", "us7"];
    const motif = ["--place", "motif", "--crisp", "--title", "Gull tracks"];
    const picture = sample("samples/gull-tracks.png");
    upbead("chart", picture, ...tin, ...motif, "-o", "tracks.json", "--force");
    assert.equal(written("tracks.json"), chart);
  });
});

/**
 * Opens a starter band.
 * @param {Page} page
 * @param {string} name
 */
async function starter(page, name) {
  await page.click("#start-open");
  await page.click(`#starter-bands [aria-label='Open ${name}']`);
  await page.locator("#start").waitFor({ state: "hidden" });
}

/**
 * Opens the start page and waits for these designs.
 * @param {Page} page
 * @param {string[]} expected
 */
async function designs(page, expected) {
  await page.click("#start-open");
  await names(page, expected);
}

/**
 * @param {Page} page
 * @param {string[]} expected
 */
async function names(page, expected) {
  await page
    .waitForFunction(
      (expected) => {
        const shown = [...document.querySelectorAll("#own-designs .tile-name")];
        return JSON.stringify(shown.map((each) => each.textContent)) === JSON.stringify(expected);
      },
      expected,
      { timeout: 4000 },
    )
    .catch(async () => {
      assert.deepEqual(await page.locator("#own-designs .tile-name").allTextContents(), expected);
    });
}

/** The browser's own private folder stands in for one that a test cannot choose. */
function useOwnFolder() {
  Object.assign(window, { showDirectoryPicker: () => navigator.storage.getDirectory() });
}

/**
 * A file in the folder; null if there is none.
 * @param {Page} page
 * @param {string} name
 */
function inFolder(page, name) {
  return page.evaluate(async (name) => {
    const folder = await navigator.storage.getDirectory();
    const file = await folder.getFileHandle(name).catch(() => null);
    return file && (await file.getFile()).text();
  }, name);
}
