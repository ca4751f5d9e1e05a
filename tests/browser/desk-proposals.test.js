// Other ways to chart the picture: shown beside the band, taken by a press, put back by another.

import assert from "node:assert/strict";
import { describe, test } from "node:test";
import {
  drop,
  give,
  ready,
  sample,
  sharedDesk,
  sit,
  still,
  text,
  touch,
  written,
} from "./desk-harness.js";
import { upbead, words } from "./harness.js";
import { readFileSync } from "node:fs";

/** @import { Page } from "playwright-core" */

const open = sharedDesk();
const GULL = sample("samples/kittiwake.png");

/**
 * Waits for the proposals of the picture that was given last.
 * @param {Page} page
 */
async function proposed(page) {
  await page.locator("#proposals:not(.waiting) button").nth(3).waitFor({ timeout: 60000 });
  return page.locator("#proposals button");
}

/** @param {Page} page */
function taken(page) {
  return page.locator('#proposals [aria-pressed="true"] .proposal-name').allInnerTexts();
}

describe("proposals", () => {
  test("a picture that is dropped is charted, and other ways stand beside it", async () => {
    await sit(open, async (page) => {
      assert.ok(await page.locator("#proposals").isHidden());
      await drop(page, "kittiwake.png", readFileSync(GULL));
      const cards = await proposed(page);
      const count = await cards.count();
      assert.ok(count >= 4 && count <= 5, String(count));
      const names = await page.locator(".proposal-name").allInnerTexts();
      assert.equal(new Set(names).size, count);
      assert.deepEqual(await taken(page), ["As read"]);
      // Each differs to the eye: no two rings look alike.
      const rings = await page
        .locator(".proposal-ring")
        .evaluateAll((all) => all.map((one) => /** @type {any} */ (one).toDataURL()));
      assert.equal(new Set(rings).size, count);
    });
  });

  test("one is taken with its options, and put back by a press or by undo", async () => {
    upbead(
      "chart",
      GULL,
      "--palette",
      sample("palettes/tin.csv"),
      ...words("--size us7 -o a.json"),
    );
    await sit(open, async (page) => {
      await give(page, "#picture-choose", GULL);
      const cards = await proposed(page);
      assert.equal(await text(page), written("a.json"));
      for (let nth = 1; nth < (await cards.count()); nth++) {
        await cards.nth(nth).click();
        assert.notEqual(await text(page), written("a.json"));
        assert.equal((await taken(page)).length, 1);
        await page.click("#undo");
        assert.equal(await text(page), written("a.json"));
        assert.deepEqual(await taken(page), ["As read"]);
      }
      await cards.nth(1).click();
      assert.notEqual(await text(page), written("a.json"));
      await cards.nth(1).click();
      assert.equal(await text(page), written("a.json"));
      assert.equal(await page.inputValue("#ground"), "");
      await page.click("#redo");
      assert.notEqual(await page.inputValue("#ground"), "");
      // Charted again with what the form says now, it is the same.
      const now = await text(page);
      await page.click("#chart-picture");
      await still(page);
      assert.equal(await text(page), now);
    });
  });

  test("options that change give other proposals, and a removed picture none", async () => {
    await sit(open, async (page) => {
      await give(page, "#picture-choose", GULL);
      await proposed(page);
      await page.fill("#columns", "11");
      await page.locator("#proposals.waiting").waitFor();
      assert.ok(await page.locator("#proposals button").first().isDisabled());
      const cards = await proposed(page);
      await cards.nth(2).click();
      const columns = () =>
        page.evaluate(() => /** @type {any} */ (window).upbeadDesk.state.history.chart.columns);
      assert.equal(await columns(), 11);
      await page.click("#picture-remove");
      assert.ok(await page.locator("#proposals").isHidden());
    });
  });

  test("they come back after a reload, and hand-set beads are one undo away", async () => {
    await sit(open, async (page) => {
      await give(page, "#picture-choose", GULL);
      await (await proposed(page)).nth(1).click();
      await still(page);
      await page.locator("#save-state", { hasText: "kept in this browser" }).waitFor();
      const before = await text(page);
      await page.reload();
      await ready(page);
      await proposed(page);
      assert.equal(await text(page), before);
      await touch(page, 3, 3);
      const edited = await text(page);
      await page.locator("#proposals button").nth(2).click();
      assert.notEqual(await text(page), edited);
      await page.click("#undo");
      assert.equal(await text(page), edited);
    });
  });
});
