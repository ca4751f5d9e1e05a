// How the page words the server's messages, and the bead keys that it shows.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, test } from "node:test";
import { phrase, sentence } from "../../src/desk/page/labels.js";
import {
  chartBeadByBead,
  DUSK,
  makeKittiwake,
  openChart,
  sharedDesk,
  sit,
  still,
  take,
  text,
  TIN,
  touch,
} from "./desk-harness.js";
import { folder, upbead, words } from "./harness.js";

/** @import { Page } from "playwright-core" */
/** @import { Message, OptionPart, VerbPart } from "../../src/desk/page/labels.js" */

const open = sharedDesk();

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
    const label = (/** @type {OptionPart | VerbPart} */ part) => `<${Object.values(part)}>`;
    const parts = ["rotated 90° clockwise; ", { option: "rotate", value: "0" }, " leaves it"];
    const message = { parts };
    assert.equal(phrase(["see ", { verb: "fit" }], label), "see <fit>");
    assert.equal(phrase(message, label), "rotated 90° clockwise; <rotate,0> leaves it");
    assert.equal(sentence(message, label), "Rotated 90° clockwise; <rotate,0> leaves it");
  });

  test("an option is named by its field", async () => {
    await sit(open, async (page) => {
      await chartBeadByBead(page, DUSK);
      await still(page);
      const fold = " under “Scaling and rotation”";
      const kit = " under “Kit and thread” in “Print and share”";
      /** @type {[OptionPart | VerbPart, string][]} */
      const cases = [
        [{ option: "columns" }, "“Columns”"],
        [{ option: "size", value: "us7" }, "“Ring size” us7"],
        [{ option: "rows", value: "72" }, "“Length by: rows” 72"],
        [{ option: "place", value: "repeat:4" }, "“Place: repeated” × 4"],
        [{ option: "rotate" }, `“Rotation”${fold}`],
        [{ option: "rotate", value: "0" }, `“Rotation: upright”${fold}`],
        [{ option: "scaling", value: "contain" }, `“Scaling: show all”${fold}`],
        [{ option: "open" }, "“Length by: flat strip”"],
        [{ option: "crop" }, "the frame on the picture"],
        [{ option: "palette" }, "the palette"],
        [{ option: "keep" }, "“Keep in”"],
        [{ option: "mirror", value: "rows" }, "“Mirror: end to end”"],
        [{ option: "mirror" }, "“Mirror”"],
        [{ option: "match", value: "nearest" }, "“Colour matching: bead by bead”"],
        [{ option: "from_stock" }, "“use only beads in stock” under “More options”"],
        [{ option: "tail", value: "150" }, `“Tail, mm” 150${kit}`],
        [
          { option: "roll", value: "20" },
          "“Roll, degrees” 20 under “Ring pictures” in “Print and share”",
        ],
        [{ option: "swatch", value: "ROWS=MM" }, "“Swatch” under “Your gauge”"],
        [
          { option: "grid", value: "COLUMNSxROWS" },
          "“Piles across × down” under “Photo settings” in “Palette”",
        ],
        [{ option: "without", value: "QUAY" }, "“Leave out” QUAY"],
        [{ option: "made_up", value: "3" }, "made up 3"],
        [{ verb: "fit" }, "“Nearby row counts”"],
        [{ verb: "resize" }, "“Other sizes” in “Print and share”"],
        [{ verb: "manual" }, "manual"],
      ];
      for (const [option, label] of cases) {
        const text = await worded(page, ["set ", option]);
        assert.equal(text, `Set ${label}`);
      }
    });
  });

  test("of several fields the one in sight is named", async () => {
    await sit(open, async (page) => {
      const named = (/** @type {string} */ option) => worded(page, ["set ", { option }]);
      assert.equal(await named("ground"), "Set “Colour”", "a plain band has a colour only");
      assert.equal(await named("bead"), "Set “Beads”");
      await page.selectOption("#bead", "custom");
      assert.equal(await named("bead"), "Set “Length × diameter × hole, mm”");
      assert.equal(
        await named("make"),
        "Set “Bands to make” under “Kit and thread” in “Print and share”",
      );
      await chartBeadByBead(page, DUSK);
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
      // A choice between options, what has no option of the command line, and the kit's fields,
      // which are the export settings' own.
      const own = [
        ...words("length-by pattern-sizes compare-as-set palette-choice palette-search"),
        ...words("palette-name palette-currency kit-make kit-spare"),
      ];
      assert.deepEqual(without.sort(), own.sort());
    });
  });
});

describe("messages of the program", () => {
  test("options are named by their fields, text without options stays as it is", async () => {
    await sit(open, async (page) => {
      await chartBeadByBead(page, DUSK);
      await still(page);
      const fold = "under “Scaling and rotation”";
      /** @type {[Message, string][]} */
      const cases = [
        [
          ["rotated 90°; ", { option: "rotate", value: "0" }, " leaves it upright"],
          `Rotated 90°; “Rotation: upright” ${fold} leaves it upright`,
        ],
        [
          [{ option: "scaling", value: "contain" }, " keeps all"],
          `“Scaling: show all” ${fold} keeps all`,
        ],
        [["add ", { option: "place", value: "motif" }], "Add “Place: once”"],
        [[{ option: "ground" }, " sets another colour"], "“Ground” sets another colour"],
        [["set ", { option: "swatch", value: "ROWS=MM" }], "Set “Swatch” under “Your gauge”"],
        [[{ verb: "resize" }, " says which"], "“Other sizes” in “Print and share” says which"],
        [
          [{ option: "rotate" }, ", ", { option: "scaling" }, ", ", { option: "columns" }],
          `“Rotation”, “Scaling” ${fold}, “Columns”`,
        ],
        [["no option here"], "No option here"],
        ["no option here", "No option here"],
      ];
      for (const [message, words] of cases) {
        assert.equal(await worded(page, message), words);
        if (Array.isArray(message)) assert.equal(await worded(page, { parts: message }), words);
      }
    });
  });
});

describe("bead keys", () => {
  test("on the swatches are those that the program draws on the beads", async () => {
    makeKittiwake();
    const harbour = TIN.replace("tin.csv", "harbour.csv");
    const band = words("--columns 21 --rows 60 --open --colours 24 --match nearest");
    upbead("chart", DUSK, "--palette", harbour, ...band, "-o", "many.json", "--force");
    for (const name of ["kittiwake.json", "many.json"]) {
      upbead("show", name, "--flat", "keys.svg", "--lettered", "--force");
      const svg = readFileSync(join(folder, "keys.svg"), "utf8");
      const drawn = new Set([...svg.matchAll(/>([^<>]+)<\/text>/g)].map((found) => found[1]));
      await sit(open, async (page) => {
        await openChart(page, name);
        const { colours } = JSON.parse(await text(page));
        const shown = page.locator("button.swatch:not(.empty) .swatch-count", { hasText: " · " });
        await page.locator("#current-details", { hasText: "bead key" }).waitFor();
        const keys = (await shown.allTextContents()).map((words) => words.split(" · ")[0]);
        assert.equal(new Set(keys).size, colours.length);
        for (const key of keys) assert.ok(drawn.has(key), `${name}: ${key} of ${[...drawn]}`);
      });
    }
  });

  test("stay while a colour is added, which gets its own", async () => {
    makeKittiwake();
    await sit(open, async (page) => {
      await openChart(page, "kittiwake.json");
      const count = (/** @type {string} */ code) =>
        page.locator(`button.swatch[data-code=${code}] .swatch-count`);
      await count("quay-58")
        .filter({ hasText: /^jn · / })
        .waitFor();
      await take(page, "samphire");
      await touch(page, 9, 3);
      assert.match(String(await count("quay-58").textContent()), /^jn · /);
      await page.locator("#current-details", { hasText: "bead key sam" }).waitFor();
    });
  });
});
