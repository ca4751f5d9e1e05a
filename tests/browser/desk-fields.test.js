// A field that cannot be obeyed says so beside itself; the size of a drawn band follows its fields;
// nothing that was made is lost by it.

import assert from "node:assert/strict";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, test } from "node:test";
import {
  beadAt,
  chartBeadByBead,
  desk,
  drop,
  DUSK,
  give,
  makeKittiwake,
  makeTide,
  openChart,
  sample,
  saved,
  says,
  sharedDesk,
  sit,
  still,
  take,
  text,
  TIN,
  touch,
  unfoldSettings,
  written,
} from "./desk-harness.js";
import { folder, upbead, words } from "./harness.js";

/** @import { Page } from "playwright-core" */

const open = sharedDesk(makeKittiwake, makeTide);

/** @param {Page} page */
async function chartNow(page) {
  return JSON.parse(await text(page));
}

/**
 * What stands beside a field.
 * @param {Page} page
 * @param {string} id
 */
function beside(page, id) {
  return page.locator(`label:has(#${id}) .field-error`);
}

describe("a field that cannot be obeyed", () => {
  for (const given of ["", DUSK]) {
    test(`says so beside itself, ${given ? "with a picture" : "without a picture"}`, async () => {
      await sit(
        open,
        async (page) => {
          if (given) await chartBeadByBead(page, given);
          await still(page);
          const before = await text(page);
          for (const value of ["0", "3.5", "1e9", ""]) {
            await page.fill("#columns", value);
            assert.equal(
              await beside(page, "columns").innerText(),
              "Write a whole number from 3 to 1,000.",
              value,
            );
            assert.equal(await page.getAttribute("#columns", "aria-invalid"), "true");
          }
          await page.click("#chart-picture");
          assert.ok(await beside(page, "columns").isVisible());
          await page.fill("#columns", "9");
          assert.equal(await beside(page, "columns").count(), 0);
          // While it is typed, before the field is left.
          await page.fill("#size", "banana");
          await says(page, "'banana' is not a ring size");
          assert.equal(await page.evaluate(() => document.activeElement?.id), "size");
          await page.keyboard.press("Tab");
          await still(page);
          assert.match(await beside(page, "size").innerText(), /Write us7/);
          await page.fill("#size", "us99");
          await page.keyboard.press("Tab");
          await says(page, "'us99' is out of range");
          await page.fill("#size", "us7");
          await page.keyboard.press("Tab");
          await beside(page, "size").waitFor({ state: "detached" });
          await still(page);
          assert.deepEqual((await chartNow(page)).rows, JSON.parse(before).rows);
          assert.ok(await page.locator("#error").isHidden());
        },
        { refusals: [400, 422] },
      );
    });
  }

  test("a band with more beads than fit is refused beside its field", async () => {
    await sit(
      open,
      async (page) => {
        await page.selectOption("#length-by", "rows");
        await page.fill("#columns", "1000");
        await page.fill("#rows", "20000");
        await page.locator(".field-error:visible").first().waitFor();
        assert.equal((await chartNow(page)).rows.length, 72);
      },
      { refusals: [400, 422] },
    );
  });

  test("a setting of an export stands in its panel, with what is wrong", async () => {
    await sit(
      open,
      async (page) => {
        await openChart(page, "kittiwake.json");
        await page.click("#export");
        await unfoldSettings(page);
        await page.fill('[data-option="paper"] ~ *, [data-option="frames"]', "3");
        await page.locator("[data-kind=turntable]").click();
        await page.locator("#export-panel .field-error:visible").waitFor();
        assert.match(await page.innerText("#export-panel .field-error"), /from 8 to 360/);
      },
      { refusals: [400, 422] },
    );
  });

  test("a picture that cannot be read is named, and is not being read for ever", async () => {
    await sit(
      open,
      async (page) => {
        await drop(page, "torn.png", readFileSync(sample("samples/kittiwake.png")).subarray(0, 99));
        await says(page, "torn.png");
        assert.equal(await page.textContent("#announcement"), "torn.png could not be read");
        // The band is in sight as a whole, below the notice.
        const notice = await page.locator("#error").boundingBox();
        const mat = await page.locator(".work-surface").boundingBox();
        assert.ok(notice && mat && notice.y + notice.height <= mat.y);
        await give(page, "#picture-choose", sample("samples/kittiwake.png"));
        await page.locator("#error").waitFor({ state: "hidden" });
      },
      { refusals: [400, 422] },
    );
  });
});

describe("the size of a drawn band", () => {
  test("columns come and go at the edges, and the middle stays", async () => {
    await sit(open, async (page) => {
      await openChart(page, "kittiwake.json");
      const before = await chartNow(page);
      for (const columns of [13, 15, 19, 11]) {
        await page.fill("#columns", String(columns));
        await page.locator("#announcement", { hasText: `Band of ${columns} columns` }).waitFor();
      }
      assert.deepEqual((await chartNow(page)).rows, before.rows, "there and back");
      await page.fill("#columns", "13");
      await page.locator("#announcement", { hasText: "Band of 13 columns" }).waitFor();
      // One more column at the left, and so one row further round.
      for (const [row, column] of [
        [20, 4],
        [33, 7],
        [44, 2],
      ]) {
        const bead = before.rows[row - 1][(column - 1) >> 1];
        assert.equal(await beadAt(page, row + 1, column + 1), before.colours[bead].name);
      }
      assert.equal(await beadAt(page, 41, 1), "jersey navy");
      await page.click("#undo");
      assert.equal(await text(page), written("kittiwake.json"));
      assert.equal(await page.inputValue("#columns"), "11");
    });
  });

  test("a ring size adds rows where other sizes add them", async () => {
    upbead("resize", "kittiwake.json", "--sizes", "us9", "-o", ".", "--force");
    await sit(
      open,
      async (page) => {
        await openChart(page, "kittiwake.json");
        await page.fill("#size", "us9");
        await page.keyboard.press("Tab");
        await page.locator("#announcement", { hasText: "78 rows" }).waitFor();
        const resized = await chartNow(page);
        assert.deepEqual(resized.rows, JSON.parse(written("kittiwake-us9.json")).rows);
        await page.selectOption("#length-by", "rows");
        await page.fill("#rows", "75");
        await says(page, "75 rows do not close into a ring");
        await page.fill("#rows", "8");
        await says(page, "this design cannot have 8 rows".slice(1));
        assert.deepEqual((await chartNow(page)).rows, resized.rows);
      },
      { refusals: [400, 422] },
    );
  });

  test("a plain band that was drawn on keeps what was drawn", async () => {
    await sit(open, async (page) => {
      await take(page, "brass");
      await touch(page, 21, 5);
      await page.fill("#columns", "13");
      await page.fill("#size", "us8");
      await page.keyboard.press("Tab");
      await page.locator("#announcement", { hasText: "Band of 13 columns, 74 rows" }).waitFor();
      const { rows, colours } = await chartNow(page);
      const brass = colours.findIndex((/** @type {any} */ { name }) => name === "brass");
      assert.equal(rows.flat().filter((/** @type {number} */ bead) => bead === brass).length, 1);
      await page.click("#undo");
      assert.equal(await beadAt(page, 21, 5), "brass");
    });
  });
});

describe("nothing is ignored or lost", () => {
  test("refining says which changes it takes and which wait; it is taken or left", async () => {
    await sit(open, async (page) => {
      await chartBeadByBead(page, DUSK);
      await still(page);
      await take(page, "gull white");
      await touch(page, 70, 6);
      await touch(page, 68, 4);
      const edited = await text(page);
      await page.fill("#calm", "0.5");
      await page.fill("#colours", "3");
      const note = await page.innerText("#edited-note");
      assert.match(note, /It takes “Fewer colour changes”/);
      assert.match(note, /“Most colours”: waiting\. Refining cannot take it/);
      await page.click("#refine-chart");
      await page.locator("#refinement-after dd").nth(3).waitFor();
      assert.match(await page.innerText("#refinement-before"), /Stray beads/);
      await page.click("#refinement-leave");
      assert.equal(await text(page), edited);
      await page.click("#refine-chart");
      await page.click("#refinement-take");
      await page.locator("#announcement", { hasText: "Refined around 2 beads" }).waitFor();
      const pins = ["--pin", "70:6,68:4", "--calm", "0.5"];
      writeFileSync(join(folder, "edited.json"), edited);
      upbead("refine", "edited.json", "--picture", DUSK, "--palette", TIN, ...pins, "-o", "r.json");
      assert.deepEqual((await chartNow(page)).rows, JSON.parse(written("r.json")).rows);
    });
  });

  test("dishes stay while colours are drawn with", async () => {
    await sit(open, async (page) => {
      await still(page);
      const names = () => page.locator(".swatch-name").allInnerTexts();
      const before = await names();
      assert.ok(before.length >= 8);
      for (const [nth, name] of before.slice(1).entries()) {
        await take(page, name);
        await touch(page, 5 + 2 * nth, 3);
        assert.deepEqual(await names(), before, name);
      }
    });
  });

  test("filling with the mirror on fills the patch and its image, and nothing else", async () => {
    await sit(open, async (page) => {
      await take(page, "brass");
      await touch(page, 21, 3);
      await touch(page, 21, 7);
      // Other work lies where the patch has no image.
      await touch(page, 41, 3);
      await take(page, "gull white");
      await touch(page, 41, 7);
      await page.click("#draw-mirror-columns");
      await page.keyboard.press("p");
      await page.locator('[data-tool="fill"]').click();
      await take(page, "buoy red");
      await touch(page, 21, 3);
      assert.equal(await beadAt(page, 21, 7), "buoy red");
      await touch(page, 41, 3);
      assert.equal(await beadAt(page, 41, 3), "buoy red");
      assert.equal(await beadAt(page, 41, 7), "gull white");
      assert.equal(await beadAt(page, 43, 7), "jersey navy");
    });
  });

  test("a palette given at the start stands once in the list", async () => {
    await sit(open, async (page) => {
      const names = await page.locator("#palette-choice option").allTextContents();
      assert.deepEqual(names, ["tin", "harbour", "shelf"]);
    });
    const other = await desk();
    try {
      await sit(other, async (page) => {
        assert.equal(await page.locator("#palette-choice option").count(), 3);
      });
    } finally {
      await other.end();
    }
  });

  test("a chart opened without its palette brings its own colours", async () => {
    const own = 'code,name,hex\nx-1,"kelp, wet",2F5D50\nx-2,foam,F2F2EE\nx-3,rust,A4461F\n';
    writeFileSync(join(folder, "own.csv"), own);
    const call = words("--palette own.csv --size us7 -o own.json --force");
    upbead("chart", sample("samples/kittiwake.png"), ...call);
    await sit(open, async (page) => {
      await openChart(page, "own.json");
      assert.equal(await page.innerText("#palette-button"), "Palette: colours of own");
      const shown = await page.locator(".swatch-name").allInnerTexts();
      assert.ok(shown.includes("kelp, wet"));
      await take(page, "rust");
      await touch(page, 9, 3);
      assert.equal(await beadAt(page, 9, 3), "rust");
      await page.click("#palette-button");
      assert.ok(await page.locator("#recolour-offer").isHidden());
    });
  });

  test("other sizes: those that work are made, the rest are named", async () => {
    await sit(
      open,
      async (page) => {
        await openChart(page, "tide.json");
        await page.click("#export");
        await unfoldSettings(page);
        await page.uncheck('#other-sizes [data-option="nearest"]');
        await page.fill('#other-sizes [data-option="sizes"]', "us7,us8,us40,banana");
        const list = page.locator("#other-sizes-list");
        await list.locator("li", { hasText: "'banana' is not a ring size" }).waitFor();
        const lines = await list.locator("li").allInnerTexts();
        assert.match(lines[0], /^us7, 72 rows/);
        assert.match(lines.join("\n"), /Left out: us8 closes with 74 rows/);
        assert.match(lines.join("\n"), /Left out: 'us40' is out of range/);
        const file = await saved(page, () => page.locator('[data-kind="sizes"]').click());
        assert.equal(file.name, "tide-sizes.zip");
        await page.locator("#announcement", { hasText: "left out: us8, us40, banana" }).waitFor();
      },
      { refusals: [400, 422] },
    );
  });
});
