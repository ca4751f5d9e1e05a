// The picture, its options and the chart: the bytes of the command line.

import assert from "node:assert/strict";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, test } from "node:test";
import {
  beadAt,
  chartBeadByBead,
  draw,
  drop,
  DUSK,
  KEPT,
  makeKittiwake,
  makeTide,
  matchBeadByBead,
  sample,
  saved,
  sharedDesk,
  sit,
  stateSays,
  still,
  take,
  text,
  TIN,
  touch,
  written,
} from "./desk-harness.js";
import { folder, upbead, words } from "./harness.js";

const open = sharedDesk(makeTide, makeKittiwake);

describe("from a picture to a chart", () => {
  test("choose a picture, draw with a mirror, undo, save", async () => {
    await sit(open, async (page) => {
      await chartBeadByBead(page, DUSK);
      await page.fill("#colours", "6");
      await page.selectOption("#dither", "diffuse");
      await page.selectOption("#mirror", "columns");
      await still(page);
      upbead(
        "chart",
        DUSK,
        "--palette",
        TIN,
        ...words("--columns 9 --size us7 --colours 6 --dither diffuse --mirror columns"),
        ...words("--match nearest -o dusk.json --force"),
      );
      const first = await saved(page, () => page.click("#save-chart"));
      assert.equal(
        readFileSync(first.path, "utf8"),
        written("dusk.json"),
        "the bytes of the command line",
      );
      assert.equal(await page.textContent("#save-state"), "saved");

      await page.click("#draw-mirror-columns");
      await page.click("#palette-button");
      await page
        .getByRole("button", { name: /^samphire/ })
        .last()
        .click();
      await touch(page, 20, 2);
      assert.deepEqual(
        [await beadAt(page, 20, 2), await beadAt(page, 20, 8)],
        ["samphire", "samphire"],
      );
      const one = await text(page);
      await draw(page, [31, 5], [39, 5]);
      for (const row of [31, 33, 35, 37, 39])
        assert.equal(await beadAt(page, row, 5), "samphire", "the centre column is its own mirror");
      await stateSays(page, KEPT);
      await page.keyboard.press("Control+z");
      assert.equal(await text(page), one);
      await page.keyboard.press("Control+Shift+z");
      assert.equal(await beadAt(page, 35, 5), "samphire");
      await page.fill("#title", "Harbour dusk, edited");
      await page.keyboard.press("Tab");
      const second = await saved(page, () => page.keyboard.press("Control+s"));
      const chart = JSON.parse(readFileSync(second.path, "utf8"));
      assert.deepEqual(
        [chart.title, chart.made.options.mended, chart.rows[34][2]],
        ["Harbour dusk, edited", "by hand", chart.colours.length - 1],
      );
      writeFileSync(join(folder, "edited.json"), readFileSync(second.path));
      assert.match(upbead("show", "edited.json"), /samphire/);
      upbead("check", "edited.json", "--json");
    });
  });

  test("drop a picture, crop it by dragging, place it as a motif", async () => {
    await sit(open, async (page) => {
      await matchBeadByBead(page);
      await drop(page, "kittiwake.png", readFileSync(sample("samples/kittiwake.png")));
      await page.locator("#picture-frame:visible").waitFor();
      await page.selectOption("#place", "motif");
      await page.selectOption("#ground", "quay-58");
      await page.fill("#columns", "11");
      await page.fill("#colours", "5");
      await page.fill("#crisp", "1");
      await still(page);
      assert.equal(await text(page), written("kittiwake.json"));
      await page.locator("#picture-image").scrollIntoViewIfNeeded();
      const box = await page.locator("#picture-image").boundingBox();
      assert.ok(box);
      await page.mouse.move(box.x + box.width * 0.25, box.y + box.height * 0.25);
      await page.mouse.down();
      await page.mouse.move(box.x + box.width * 0.75, box.y + box.height * 0.7, { steps: 4 });
      await page.mouse.up();
      await still(page);
      const crop = JSON.parse(await text(page)).made.options.crop;
      assert.match(crop, /^\d+,\d+,\d+,\d+$/);
      upbead(
        "chart",
        sample("samples/kittiwake.png"),
        "--palette",
        TIN,
        ...words("--columns 11 --size us7 --place motif --ground quay-58 --colours 5"),
        ...words("--match nearest --crisp 1 --crop"),
        crop,
        "-o",
        "part.json",
      );
      assert.equal(await text(page), written("part.json"));
      await page.click("#crop-reset");
      await still(page);
      assert.equal(await text(page), written("kittiwake.json"));
    });
  });

  test("only the latest options count, however fast they change", async () => {
    await sit(open, async (page) => {
      await chartBeadByBead(page, DUSK);
      for (const columns of [15, 7, 21, 11, 5, 19, 13])
        await page.fill("#columns", String(columns));
      await still(page);
      assert.equal(JSON.parse(await text(page)).columns, 13);
      await page.click("#undo");
      assert.equal(
        JSON.parse(await text(page)).made.source,
        "",
        "one undo leads to the plain band, not to each number typed",
      );
    });
  });

  test("a name and a bead that are set while the picture is charted stay", async () => {
    await sit(open, async (page) => {
      await chartBeadByBead(page, DUSK);
      await still(page);
      await page.evaluate(() => {
        const { state } = /** @type {any} */ (window).upbeadDesk;
        const field = (
          /** @type {string} */ id,
          /** @type {string} */ value,
          /** @type {string} */ kind,
        ) => {
          const found = /** @type {HTMLInputElement} */ (document.getElementById(id));
          found.value = value;
          found.dispatchEvent(new Event(kind, { bubbles: true }));
        };
        field("columns", "11", "input");
        field("title", "Evening", "change");
        if (state.history.chart.title !== "Evening") throw new Error("the name is not taken");
      });
      await still(page);
      const charted = JSON.parse(await text(page));
      assert.deepEqual([charted.columns, charted.title], [11, "Evening"]);
      await page.evaluate(() => {
        const { tools } = /** @type {any} */ (window).upbeadDesk;
        const found = /** @type {HTMLInputElement} */ (document.getElementById("columns"));
        found.value = "13";
        found.dispatchEvent(new Event("input", { bubbles: true }));
        setTimeout(() => tools.set([3]), 20);
      });
      await page.waitForTimeout(1500);
      const kept = JSON.parse(await text(page));
      assert.deepEqual([kept.columns, kept.made.options.mended], [11, "by hand"]);
    });
  });

  test("colours kept in, left out and not in stock are respected", async () => {
    await sit(open, async (page) => {
      await chartBeadByBead(page, DUSK);
      await still(page);
      await take(page, "coral");
      await page.click("#colour-exclude");
      await page.click("#palette-button");
      await page.getByRole("radio", { name: "keep it in" }).check();
      await page
        .getByRole("button", { name: /^samphire/ })
        .last()
        .click();
      await page.getByRole("radio", { name: "mark it as in stock" }).check();
      await page
        .getByRole("button", { name: /^jersey navy/ })
        .last()
        .click();
      await page.keyboard.press("Escape");
      await still(page);
      const { keep, without } = JSON.parse(await text(page)).made.options;
      assert.deepEqual([keep, without], ["quay-53", "quay-29,quay-58"]);
    });
  });

  test("after changes by hand the picture is charted again only on request", async () => {
    await sit(open, async (page) => {
      await chartBeadByBead(page, DUSK);
      await still(page);
      await touch(page, 9, 3);
      const edited = await text(page);
      await page.selectOption("#mirror", "rows");
      await page.locator("#edited-note:visible").waitFor();
      await page.waitForTimeout(300);
      assert.equal(await text(page), edited);
      await page.click("#chart-picture");
      await still(page);
      assert.equal(JSON.parse(await text(page)).made.options.mirror, "rows");
      await page.click("#undo");
      assert.equal(await text(page), edited);
    });
  });
});
