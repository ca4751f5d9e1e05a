// Options, gauge, refining and comparing: as the command line does it.

import assert from "node:assert/strict";
import { readFileSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, test } from "node:test";
import {
  beadAt,
  chartBeadByBead,
  DUSK,
  give,
  makeTide,
  openChart,
  ready,
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
  written,
} from "./desk-harness.js";
import { folder, upbead, words } from "./harness.js";

/** @import { Page } from "playwright-core" */

const open = sharedDesk(makeTide);

describe("options of a chart", () => {
  test("a motif stays where it was until its best position is found", async () => {
    const GULL = sample("samples/kittiwake.png");
    await sit(open, async (page) => {
      await chartBeadByBead(page, GULL);
      await page.selectOption("#place", "motif");
      await page.fill("#crisp", "1");
      await still(page);
      // The seat on a broad band is none on a narrow one.
      for (const columns of ["15", "7", "11", "7"]) {
        await page.fill("#columns", columns);
        await still(page);
      }
      assert.ok(await page.locator("#error").isHidden());
      const call = [
        "chart",
        GULL,
        "--palette",
        TIN,
        ...words("--columns 7 --size us7 --colours 8 --match nearest --place motif --crisp 1"),
        ...words("-o seated.json --force"),
      ];
      upbead(...call);
      assert.equal(await text(page), written("seated.json"));
      await page.click("#undo");
      await still(page);
      assert.equal(
        JSON.parse(await text(page)).made.options.place,
        undefined,
        "one edit, however it was shown meanwhile",
      );
    });
  });

  test("a custom position starts from the one that was found", async () => {
    const GULL = sample("samples/kittiwake.png");
    await sit(open, async (page) => {
      await chartBeadByBead(page, GULL);
      assert.ok(await page.locator("#position-field").isHidden(), "only a motif has a position");
      await page.selectOption("#place", "motif");
      await still(page);
      assert.equal(await text(page), charted(GULL, "--place", "motif"));
      await page.fill("#crisp", "1");
      await still(page);
      const best = charted(GULL, "--place", "motif", "--crisp", "1");
      assert.equal(await text(page), best);
      await page.selectOption("#position", "middle");
      await still(page);
      assert.equal(
        await text(page),
        charted(GULL, "--place", "motif", "--crisp", "1", "--position", "middle"),
      );
      await page.selectOption("#position", "");
      await still(page);
      await page.selectOption("#position", "custom");
      await still(page);
      const { position } = JSON.parse(best).made.options;
      assert.equal(await page.inputValue("#position-custom"), position);
      await write(page, "#position-custom", "0.9,0.2,-0.4");
      assert.equal(
        await text(page),
        charted(GULL, "--place", "motif", "--crisp", "1", "--position", "0.9,0.2,-0.4"),
      );
      await page.waitForTimeout(500);
      await page.reload();
      await ready(page);
      assert.equal(await page.inputValue("#position-custom"), "0.9,0.2,-0.4");
      assert.ok(await page.locator("#position-custom").isVisible());
    });
  });

  test("optimised for any viewing distances", async () => {
    await sit(open, async (page) => {
      await chartBeadByBead(page, DUSK);
      await page.check("#refine");
      await page.selectOption("#distances", "custom");
      await write(page, "#distances-custom", "500,1200");
      assert.equal(await text(page), charted(DUSK, "--refine", "--distances", "500,1200"));
    });
  });

  test("a gauge is opened, saved, remembered, and replaced only after a question", async () => {
    const kept = join(folder, ".config/upbead/gauge.json");
    try {
      await sit(
        open,
        async (page) => {
          await page.click("#options details:has(#swatch) summary");
          assert.ok(await page.locator("#gauge-save").isDisabled());
          upbead("fit", "--swatch", "40=33.6", "--remember", "--gauge", "class.json");
          await give(page, "#gauge-open", join(folder, "class.json"));
          await page.waitForFunction(
            () =>
              /** @type {HTMLInputElement} */ (document.getElementById("swatch")).value ===
              "40=33.6",
          );
          const same = await saved(page, () => page.click("#gauge-save"));
          assert.deepEqual(
            [same.name, readFileSync(same.path, "utf8")],
            ["class.json", written("class.json")],
          );
          // The gauge of another bead is added to the file that was opened.
          await page.selectOption("#bead", "8");
          await page.fill("#swatch", "40=60");
          upbead("fit", "--bead", "8", "--swatch", "40=60", "--remember", "--gauge", "class.json");
          const both = await saved(page, () => page.click("#gauge-save"));
          assert.equal(readFileSync(both.path, "utf8"), written("class.json"));
          await page.click("#gauge-remember");
          await page.locator("#gauge-status", { hasText: "Remembered" }).waitFor();
          assert.equal(
            JSON.parse(upbead("fit", "--bead", "8", "--size", "us7", "--json")).gauge.from,
            "swatch 40=60",
          );
          await page.fill("#swatch", "40=62");
          await page.click("#gauge-remember");
          await page
            .locator("#gauge-status", { hasText: "Another gauge for 8/0 beads is remembered" })
            .waitFor();
          assert.equal(
            JSON.parse(upbead("fit", "--bead", "8", "--size", "us7", "--json")).gauge.from,
            "swatch 40=60",
          );
          await page.click("#gauge-replace");
          await page.locator("#gauge-status", { hasText: /^Remembered/ }).waitFor();
          assert.equal(readFileSync(kept, "utf8").includes("swatch 40=62"), true);
          await page.selectOption("#bead", "15");
          // The answer about the chart comes first, so that it does not replace the error.
          await still(page);
          await give(page, "#gauge-open", join(folder, "class.json"));
          await says(page, "no gauge for 15/0 beads");
        },
        // A gauge typed for other beads is out of range for those of the chart.
        { refusals: [400, 422] },
      );
    } finally {
      rmSync(kept, { force: true });
    }
  });

  test("nearby row counts are listed in full", async () => {
    await sit(open, async (page) => {
      await page.click("#row-counts summary");
      await page.locator("#row-counts-list button").first().waitFor();
      const fit = JSON.parse(upbead("fit", "--size", "us7", "--columns", "9", "--json"));
      const told = await page.innerText("#row-counts");
      for (const near of fit.near)
        for (const word of [
          `${near.rows} rows`,
          near.diameter_mm.toFixed(2),
          `${near.circumference_mm.toFixed(1)} mm around`,
          `ISO ${near.iso}`,
          `UK ${near.uk?.replace(" 1/2", "½")}`,
          `JP ${near.jp}`,
        ])
          assert.ok(told.includes(word), word);
      const [loose, touching] = fit.rows_range;
      assert.ok(
        told.includes(`Tight weavers need ${touching} rows, loose ones as few as ${loose}`),
        told,
      );
      assert.ok(
        told.includes(`${fit.width_mm} mm wide`) &&
          told.includes("measure the finger at the end of the day".replace("m", "M")),
        told,
      );
      assert.equal(await page.locator("#row-counts-advice li").count(), fit.warnings.length);
      assert.doesNotMatch(told, /--/);
    });
  });

  test("an opened chart stays when its picture is opened; it is compared and refined", async () => {
    charted(DUSK, "--colours", "7");
    await sit(open, async (page) => {
      await openChart(page, "reached.json");
      await give(page, "#picture-choose", DUSK);
      await page.locator("#announcement", { hasText: "stays as it is" }).waitFor();
      assert.equal(
        await page.inputValue("#colours"),
        "7",
        "the options are those that it was made with",
      );
      await write(page, "#margin", "1");
      assert.equal(await text(page), written("reached.json"), "options wait for the button");
      await page.click("#compare summary");
      await page.fill("#compare-distances", "900");
      await page.keyboard.press("Tab");
      const mean = (/** @type {string[]} */ ...more) => {
        const told = JSON.parse(
          upbead(
            "compare",
            "reached.json",
            "--picture",
            DUSK,
            ...more,
            "--distances",
            "900",
            "--json",
          ),
        );
        return `From 900 mm ${Math.round(told.seen[0].mean * 10) / 10} ·`;
      };
      const near = page.locator("#compare-figures");
      await near.filter({ hasText: /From 900 mm/ }).waitFor();
      assert.ok((await near.innerText()).replace(/\s+/g, " ").includes(mean()));
      await page.check("#compare-as-set");
      const other = mean("--margin", "1", "--place", "round", "--crisp", "0");
      assert.notEqual(other, mean());
      await page.waitForFunction(
        (words) =>
          document
            .getElementById("compare-figures")
            ?.innerText.replace(/\s+/g, " ")
            .includes(words),
        other,
      );
      await page.click("#export");
      await page.click("#export-documents summary");
      const file = await saved(page, () => page.locator("[data-kind=near-json]").click());
      const laid = ["--distances", "900", "--margin", "1", "--place", "round", "--crisp", "0"];
      const told = JSON.parse(
        upbead("compare", "reached.json", "--picture", DUSK, ...laid, "--json"),
      );
      assert.deepEqual(JSON.parse(readFileSync(file.path, "utf8")), {
        ...told,
        picture: "harbour-dusk.jpg",
      });
      await page.fill("#pin", "20..35");
      await page.click("#refine-chart");
      await page.click("#refinement-take");
      await page.locator("#announcement", { hasText: "Chart refined" }).waitFor();
      upbead(
        "refine",
        "reached.json",
        "--picture",
        DUSK,
        "--palette",
        TIN,
        ...words("--pin 20..35 -o finer.json --force"),
      );
      assert.deepEqual(JSON.parse(await text(page)).rows, JSON.parse(written("finer.json")).rows);
    });
  });
});

describe("charts worked over", () => {
  test("fewer colour changes, optimising, and the view from a distance", async () => {
    await sit(open, async (page) => {
      await chartBeadByBead(page, DUSK);
      await page.fill("#calm", "0.5");
      await page.check("#refine");
      await still(page);
      upbead(
        "chart",
        DUSK,
        "--palette",
        TIN,
        ...words("--columns 9 --size us7 --colours 8 --match nearest --calm 0.5 --refine"),
        ...words("-o calm.json --force"),
      );
      assert.equal(await text(page), written("calm.json"));
      await page.selectOption("#viewing-distance", "700");
      await page.locator("#distance-image").waitFor();
      // As large as it looks from 700 mm on a screen 300 mm away, with a margin for the blur.
      const width = await page.evaluate(
        () => /** @type {HTMLElement} */ (document.getElementById("distance-image")).clientWidth,
      );
      const millimetre = 96 / 25.4;
      assert.ok(
        Math.abs(width - ((9 * 1.3 * 300) / 700 + 7) * millimetre) < 2,
        `${width} pixels wide`,
      );
      await page.selectOption("#viewing-distance", "");
      await page.locator("#true-band").waitFor();
    });
  });

  test("beads set by hand stay while the others are refined", async () => {
    await sit(open, async (page) => {
      await chartBeadByBead(page, DUSK);
      await still(page);
      assert.ok(await page.locator("#refine-chart").isHidden());
      await take(page, "gull white");
      await touch(page, 70, 5 + 1);
      await touch(page, 68, 4);
      const before = await text(page);
      writeFileSync(join(folder, "edited.json"), before);
      await page.locator("#refine-chart").click();
      await page.click("#refinement-take");
      await page.locator("#announcement", { hasText: "Refined around 2 beads" }).waitFor();
      upbead(
        "refine",
        "edited.json",
        "--picture",
        DUSK,
        "--palette",
        TIN,
        ...words("--pin 70:6,68:4 -o finer.json --force"),
      );
      const finer = JSON.parse(written("finer.json"));
      assert.deepEqual(JSON.parse(await text(page)).rows, finer.rows);
      assert.equal(await beadAt(page, 70, 6), "gull white");
      // No option throws it away, and it can be undone.
      assert.ok(await page.locator("#edited-note").isVisible());
      await page.click("#undo");
      assert.equal(await text(page), before);
    });
  });

  test("the match with the picture, and nearby row counts", async () => {
    await sit(open, async (page) => {
      await chartBeadByBead(page, DUSK);
      await still(page);
      await page.click("#compare summary");
      await page.locator("#compare-figures", { hasText: "Worn" }).waitFor();
      writeFileSync(join(folder, "near.json"), await text(page));
      const told = JSON.parse(upbead("compare", "near.json", "--picture", DUSK, "--json"));
      const worn = told.seen.find((/** @type {any} */ each) => each.distance_mm === 700).mean;
      assert.match(
        await page.innerText("#compare-figures"),
        new RegExp(`Worn\\s+${Math.round(worn * 10) / 10} · `),
      );
      await page.click("#row-counts summary");
      await page.locator("#row-counts-list button", { hasText: "72 rows" }).click();
      await still(page);
      assert.equal(JSON.parse(await text(page)).rows.length, 72);
      assert.equal(await page.inputValue("#length-by"), "rows");
    });
  });

  test("a plain band has the bytes of the command line", async () => {
    await sit(open, async (page) => {
      await page.selectOption("#plain-colour", "quay-29");
      await page.click("#chart-picture");
      await still(page);
      upbead(
        "chart",
        "--plain",
        "--palette",
        TIN,
        ...words("--ground quay-29 --columns 9 --size us7 -o plain.json --force"),
      );
      assert.equal(await text(page), written("plain.json"));
    });
  });
});

/**
 * Types into a field and leaves it.
 * @param {Page} page
 * @param {string} field
 * @param {string} words
 */
async function write(page, field, words) {
  await page.fill(field, words);
  await page.keyboard.press("Tab");
  await still(page);
}

/**
 * The band that the command line makes of a picture at us7 with at most 8 colours.
 * @param {string} picture
 * @param {...string} more
 */
function charted(picture, ...more) {
  const colours = more.includes("--colours") ? [] : ["--colours", "8"];
  upbead(
    "chart",
    picture,
    "--palette",
    TIN,
    ...words("--columns 9 --size us7 --match nearest"),
    ...colours,
    ...more,
    "-o",
    "reached.json",
    "--force",
  );
  return written("reached.json");
}
