// How the page words the server's messages, and the bead keys that it shows.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { after, before, describe, test } from "node:test";
import { beadKeys } from "../../src/desk/page/bead-keys.js";
import { phrase, sentence } from "../../src/desk/page/labels.js";
import { desk, DUSK, give, makeKittiwake, makeTide, sit, still, TIN } from "./desk-harness.js";
import { closed, folder, upbead, words } from "./harness.js";

/** @import { Page } from "playwright-core" */
/** @import { Message, OptionPart } from "../../src/desk/page/labels.js" */
/** @import { Open } from "./desk-harness.js" */

/** @type {Open} */
let open;

before(async () => {
  open = await desk("--palette", TIN);
});
after(async () => {
  await open.end();
  await closed();
});

/**
 * The sentence that the page makes of a message.
 * @param {Page} page
 * @param {Message} message
 * @returns {Promise<string>}
 */
function worded(page, message) {
  return page.evaluate(async (message) => {
    const labels = await import(/** @type {any} */ ("./labels.js"));
    return labels.sentence(message);
  }, message);
}

describe("messages as data", () => {
  test("text and options are joined, and the first letter is a capital", () => {
    const label = (/** @type {OptionPart} */ { option, value }) => `<${option} ${value}>`;
    const parts = ["rotated 90° clockwise; ", { option: "rotate", value: "0" }, " leaves it"];
    const message = { kind: "rotated", parts };
    assert.equal(phrase(message, label), "rotated 90° clockwise; <rotate 0> leaves it");
    assert.equal(sentence(message, label), "Rotated 90° clockwise; <rotate 0> leaves it");
  });

  test("an option is named by its field", async () => {
    await sit(open, async (page) => {
      await give(page, "#picture-choose", DUSK);
      await still(page);
      const fold = " under “Scaling and rotation”";
      const kit = " under “Kit and thread” in “Print and share”";
      /** @type {[OptionPart, string][]} */
      const cases = [
        [{ option: "columns" }, "“Columns”"],
        [{ option: "size", value: "us7" }, "“Ring size” us7"],
        [{ option: "rows", value: "72" }, "“Length by: rows” 72"],
        [{ option: "place", value: "repeat:4" }, "“Place: repeated”"],
        [{ option: "rotate" }, `“Rotation”${fold}`],
        [{ option: "rotate", value: "0" }, `“Rotation: upright”${fold}`],
        [{ option: "scaling", value: "contain" }, `“Scaling: show all”${fold}`],
        [{ option: "open" }, "“Length by: flat strip”"],
        [{ option: "crop" }, "the frame on the picture"],
        [{ option: "palette" }, "the palette"],
        [{ option: "keep" }, "“Keep in”"],
        [{ option: "mirror", value: "rows" }, "“mirror end to end”"],
        [{ option: "mirror" }, "“mirror left to right” or “mirror end to end”"],
        [{ option: "from_stock" }, "“use only beads in stock” under “More options”"],
        [{ option: "tail", value: "150" }, `“Tail, mm” 150${kit}`],
        [
          { option: "roll", value: "20" },
          "“Roll, degrees” 20 under “Ring pictures” in “Print and share”",
        ],
        [{ option: "made_up", value: "3" }, "made up 3"],
      ];
      for (const [option, label] of cases) {
        const text = await worded(page, { kind: "any", parts: ["set ", option] });
        assert.equal(text, `Set ${label}`);
      }
    });
  });

  test("of several fields the one in sight is named", async () => {
    await sit(open, async (page) => {
      const named = (/** @type {string} */ option) =>
        worded(page, { kind: "any", parts: ["set ", { option }] });
      assert.equal(await named("ground"), "Set “Colour”", "a plain band has a colour only");
      assert.equal(await named("bead"), "Set “Beads”");
      await page.selectOption("#bead", "custom");
      assert.equal(await named("bead"), "Set “Length × diameter × hole, mm”");
      assert.equal(
        await named("make"),
        "Set “Bands to make” under “Kit and thread” in “Print and share”",
      );
      await give(page, "#picture-choose", DUSK);
      await page.check("#from-stock");
      assert.equal(await named("ground"), "Set “Ground”");
      assert.equal(await named("make"), "Set “Bands to make” under “More options”");
      // A message about an export means the export settings.
      const exported = await page.evaluate(async () => {
        const { labelIn } = await import(/** @type {any} */ ("./labels.js"));
        return labelIn("export-options")({ option: "rows", value: "20..35" });
      });
      assert.equal(exported, "“Rows to include” 20..35 under “Rows” in “Print and share”");
    });
  });

  test("every field of the options and the export settings has its option", async () => {
    await sit(open, async (page) => {
      const without = await page.evaluate(() =>
        [...document.querySelectorAll("#options, #export-options, #palette, #compare")].flatMap(
          (part) =>
            [...part.querySelectorAll("input, select")].flatMap((field) =>
              field.hasAttribute("data-option") || field.closest("fieldset") ? [] : [field.id],
            ),
        ),
      );
      // A choice between options, and what has no option of the command line.
      const own = [
        ...words("length-by pattern-sizes compare-as-set palette-choice palette-search"),
      ];
      assert.deepEqual(without.sort(), own.sort());
    });
  });
});

describe("messages of the program", () => {
  test("options are named by their fields", async () => {
    await sit(open, async (page) => {
      await give(page, "#picture-choose", DUSK);
      await still(page);
      const fold = "under “Scaling and rotation”";
      /** @type {[import("../../src/desk/page/labels.js").Part[], string][]} */
      const cases = [
        [
          ["rotated 90°; ", { option: "rotate", value: "0" }, " leaves it upright"],
          `Rotated 90°; “Rotation: upright” ${fold} leaves it upright`,
        ],
        [
          [{ option: "scaling", value: "contain" }, " keeps all"],
          `“Scaling: show all” ${fold} keeps all`,
        ],
        [[{ option: "place", value: "motif" }, " sets it once"], "“Place: once” sets it once"],
        [[{ option: "ground" }, " sets another colour"], "“Ground” sets another colour"],
        [
          ["measure a swatch and set ", { option: "swatch", value: "ROWS=MM" }],
          "Measure a swatch and set “Swatch” under “Your gauge”",
        ],
        [["no option here"], "No option here"],
      ];
      for (const [parts, words] of cases) assert.equal(await worded(page, { parts }), words);
    });
  });
});

describe("bead keys", () => {
  /**
   * The keys on the beads of a chart as the program draws them, by the colour of the bead.
   * @param {string} chart
   */
  function drawnKeys(chart) {
    const file = chart.replace(".json", "-keys.svg");
    upbead("show", chart, "--flat", file, "--lettered", "--force");
    return readFileSync(join(folder, file), "utf8");
  }

  test("are those that the program draws on the beads", () => {
    makeTide();
    makeKittiwake();
    const harbour = TIN.replace("tin.csv", "harbour.csv");
    const band = ["--columns", "21", "--rows", "60", "--open", "--colours", "24"];
    upbead("chart", DUSK, "--palette", harbour, ...band, "-o", "many.json", "--force");
    for (const name of ["tide.json", "kittiwake.json", "many.json"]) {
      const svg = drawnKeys(name);
      const { colours } = JSON.parse(readFileSync(join(folder, name), "utf8"));
      const keys = beadKeys(colours);
      assert.equal(new Set(keys).size, colours.length);
      const drawn = new Set([...svg.matchAll(/>([^<>]+)<\/text>/g)].map((found) => found[1]));
      for (const key of keys)
        assert.ok(drawn.has(key), `${name}: ${key} in ${[...drawn].join(" ")}`);
    }
  });

  test("follow the rule of the program where names are difficult", () => {
    const keys = (/** @type {string[]} */ ...names) =>
      beadKeys(names.map((name, nth) => ({ code: `quay-${nth}`, name, hex: "204060" })));
    // The cases of `src/scene/keys.rs`.
    assert.deepEqual(keys("jersey navy", "coral", "gull white", "chrysoprases"), [
      ...words("jn cor gw chr"),
    ]);
    assert.deepEqual(keys("navy tide", "night tide", "night tile", "night tide"), [
      ...words("nt nti nit niti"),
    ]);
    assert.deepEqual(keys("24k gold", "7", "θάλασσα"), ["g2", "t7", "θάλ"]);
    // A name that the typeface lacks gives way to its code.
    assert.deepEqual(keys("海", "kelp"), ["q0", "kel"]);
  });

  test("stand on the swatches and beside the colour in use", async () => {
    makeTide();
    await sit(open, async (page) => {
      await give(page, "#open-chart", join(folder, "tide.json"));
      await page
        .locator("button.swatch[data-code=quay-58] .swatch-count", { hasText: /^jn · / })
        .waitFor();
      await page.locator("button.swatch[data-code=quay-58]").click();
      await page.locator("#current-details", { hasText: "bead key jn" }).waitFor();
    });
  });
});
