// The palette: photos of beads, similar colours.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { describe, test } from "node:test";
import {
  give,
  makeTide,
  openChart,
  sample,
  saved,
  sharedDesk,
  sit,
  text,
  written,
} from "./desk-harness.js";
import { upbead, words } from "./harness.js";

const open = sharedDesk(makeTide);

describe("the palette", () => {
  test("similar colours, up to the difference asked for", async () => {
    const shelf = sample("palettes/shelf.csv");
    await sit(open, async (page) => {
      await page.click("#palette-button");
      await give(page, "#palette-open", shelf);
      await page.click("#similar summary");
      for (const below of ["3", "6"]) {
        await page.fill("#below", below);
        const told = JSON.parse(upbead("palette", shelf, "--below", below, "--json"));
        const name = (/** @type {string} */ code) =>
          told.colours.find((/** @type {any} */ colour) => colour.code === code).name;
        const [first] = told.pairs;
        const words = first ? `${name(first.one)} and ${name(first.other)}` : `below ${below}`;
        await page.locator("#similar-pairs li", { hasText: words }).first().waitFor();
        assert.equal(
          await page.locator("#similar-pairs li").count(),
          Math.min(21, Math.max(1, told.pairs_count)),
        );
        const deutan = told.worn.sights.find((/** @type {any} */ each) => each.sight === "deutan");
        const lost = deutan.lost_count ? `${deutan.lost_count} more pair` : "no more pairs";
        await page.locator("#similar-worn li", { hasText: `(deutan): ${lost}` }).waitFor();
        await page.locator("#similar-worn li", { hasText: /^Full colour vision: / }).waitFor();
      }
    });
  });

  test("a photo of beads is read with the given settings", async () => {
    await sit(open, async (page) => {
      await page.click("#palette-button");
      await page.click("#photo-options summary");
      await page.fill("#grid", "4x3");
      await page.fill("#white", "20,20");
      await give(page, "#palette-photo", sample("samples/tray.jpg"));
      await page.locator(".palette-colour", { hasText: "pale grey" }).waitFor();
      const how = [
        "palette",
        "from-photo",
        sample("samples/tray.jpg"),
        ...words("--grid 4x3 --white 20,20 -o tray.csv --force"),
      ];
      upbead(...how);
      const palette = await saved(page, () => page.click("#palette-save"));
      assert.equal(readFileSync(palette.path, "utf8"), written("tray.csv"));
      const seen = await saved(page, () => page.click("#photo-report"));
      const told = JSON.parse(readFileSync(seen.path, "utf8"));
      assert.deepEqual(told, { ...JSON.parse(upbead(...how, "--json")), photo: "tray.jpg" });
      const doubts = told.piles.flatMap((/** @type {any} */ pile) => pile.doubts);
      assert.equal(await page.locator("#photo-warnings li").count(), doubts.length);
    });
  });

  test("a photo of beads becomes the palette, and the band changes to it", async () => {
    await sit(open, async (page) => {
      await openChart(page, "tide.json");
      await page.click("#palette-button");
      await give(page, "#palette-photo", sample("samples/tray.jpg"));
      await page.locator(".palette-colour", { hasText: "pale grey" }).waitFor();
      upbead("palette", "from-photo", sample("samples/tray.jpg"), "-o", "tray.csv", "--force");
      const palette = await saved(page, () => page.click("#palette-save"));
      assert.equal(palette.name, "tray.csv");
      assert.equal(readFileSync(palette.path, "utf8"), written("tray.csv"));
      await page.click("#recolour");
      await page.locator("#recolour-offer").waitFor({ state: "hidden" });
      upbead("swap", "tide.json", "--palette", "tray.csv", "-o", "moved.json", "--force");
      const moved = JSON.parse(written("moved.json"));
      const now = JSON.parse(await text(page));
      assert.deepEqual([now.rows, now.colours], [moved.rows, moved.colours]);
      await page.keyboard.press("Escape");
    });
  });
});
