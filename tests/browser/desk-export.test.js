// Exports: the bytes of the command line, whatever the settings.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, test } from "node:test";
import {
  chartBeadByBead,
  DUSK,
  makeTide,
  openChart,
  saved,
  sharedDesk,
  sit,
  still,
  text,
  TIN,
  touch,
  unfoldSettings,
  written,
} from "./desk-harness.js";
import { folder, upbead, words } from "./harness.js";

const open = sharedDesk(makeTide);

describe("exports", () => {
  test("exports are the bytes that the command line writes", async () => {
    await sit(open, async (page) => {
      await openChart(page, "tide.json");
      upbead("show", "tide.json", "--flat", "tide.svg", "--force");
      for (const [label, name, wanted] of [
        ["Flat chart, drawing", "tide.svg", written("tide.svg")],
        ["Chart file", "tide.json", written("tide.json")],
        ["Rows, written out", "tide-rows.txt", upbead("weave", "tide.json")],
        ["Follow-along page", "tide.html", upbead("weave", "tide.json", "--page", "-")],
      ]) {
        await page.click("#export");
        const file = await saved(page, () => page.getByRole("button", { name: label }).click());
        assert.equal(file.name, name);
        assert.equal(readFileSync(file.path, "utf8"), wanted, label);
      }
      upbead("print", "tide.json", "--palette", TIN, "-o", "tide.pdf", "--force");
      upbead("show", "tide.json", "--flat", "tide-beads.png", "--beads", "--force");
      upbead("show", "tide.json", "--ring", "tide-ring.png", "--force");
      for (const [label, name] of [
        ["Printed pattern", "tide.pdf"],
        ["Bead picture", "tide-beads.png"],
        ["Ring picture", "tide-ring.png"],
      ]) {
        await page.click("#export");
        const file = await saved(page, () => page.getByRole("button", { name: label }).click());
        assert.equal(file.name, name);
        assert.ok(readFileSync(file.path).equals(readFileSync(join(folder, name))), label);
      }
    });
  });

  test("the gauge and the export settings are used", async () => {
    await sit(open, async (page) => {
      await chartBeadByBead(page, DUSK);
      await page.click("#options details:has(#swatch) summary");
      await page.fill("#swatch", "40=33.6");
      await page.keyboard.press("Tab");
      await still(page);
      upbead(
        "chart",
        DUSK,
        "--palette",
        TIN,
        ...words("--columns 9 --size us7 --colours 8 --match nearest --swatch 40=33.6"),
        ...words("-o own.json --force"),
      );
      assert.equal(await text(page), written("own.json"));
      await openChart(page, "tide.json");
      await page.click("#export");
      await unfoldSettings(page);
      await page.locator("#export-options [data-option=make]").fill("12");
      await page.locator("#export-options [data-option=from]").selectOption("top");
      const kit = await saved(page, () => page.getByRole("button", { name: "Kit list" }).click());
      assert.equal(
        readFileSync(kit.path, "utf8"),
        upbead("kit", "tide.json", "--palette", TIN, "--make", "12"),
      );
      await page.click("#export");
      const rows = await saved(page, () =>
        page.getByRole("button", { name: "Rows, written out" }).click(),
      );
      assert.equal(readFileSync(rows.path, "utf8"), upbead("weave", "tide.json", "--from", "top"));
      await page.click("#export");
      await page.locator("#export-options [data-option=sizes]").fill("us5..us7");
      await page.locator("#export-options [data-option=nearest]").uncheck();
      const sizes = page.locator("#other-sizes-list li");
      await sizes.filter({ hasText: "Left out" }).first().waitFor();
      const works = "54 rows (us1.11) and 72 rows (us6.88) would work";
      const reason = "which is not a whole number of 18-row repeats";
      assert.deepEqual(await sizes.allTextContents(), [
        "us7, 72 rows: rows 1 to 72",
        `Left out: us5 closes with 66 rows, ${reason}; ${works}`,
        `Left out: us6 closes with 68 rows, ${reason}; ${works}`,
      ]);
      const zip = await saved(page, () =>
        page.getByRole("button", { name: "Other sizes" }).click(),
      );
      assert.equal(readFileSync(zip.path).subarray(0, 2).toString(), "PK");
    });
  });

  test("every export setting works as on the command line", async () => {
    await sit(open, async (page) => {
      await chartBeadByBead(page, DUSK);
      await still(page);
      await openChart(page, "tide.json");
      await page.click("#export");
      await unfoldSettings(page);
      const chosen = page.waitForEvent("filechooser");
      await page.locator("#cover").selectOption("other");
      await (await chosen).setFiles(DUSK);
      await page.locator("#export-options [data-option=note]").fill("For a cold day");
      await page.locator("#export-options [data-option=rows]").fill("20..35");
      await page
        .locator("#export-options [data-option=as][data-kinds=rows]")
        .selectOption("markdown");
      await page
        .locator("#export-options [data-option=as][data-kinds=turntable]")
        .selectOption("gif");
      await page.locator("#export-options [data-option=pixels]").fill("200");
      await page.locator("#export-options [data-option=tilt]").fill("-10");
      await page.locator("#export-options [data-option=frames]").fill("8");
      await page.locator("#export-options [data-option=backdrop][data-kinds~=ring]").fill("18222B");
      await page.locator("#export-options [data-option=seen]").fill("700");
      await page.locator("#export-options [data-option=lettered]").check();
      await page.locator("#export-options [data-option=thread]").fill("0.13");
      /** @type {[string, string, string[]][]} */
      const files = [
        [
          "Printed pattern",
          "tide.pdf",
          [
            ...["print", "tide.json", "--palette", TIN, "--picture", DUSK, "--thread", "0.13"],
            ...["--note", "For a cold day"],
          ],
        ],
        [
          "Ring picture",
          "tide-ring.png",
          words("show tide.json --pixels 200 --tilt -10 --backdrop 18222B --ring"),
        ],
        [
          "Rolling ring",
          "tide-ring.gif",
          words("show tide.json --pixels 200 --tilt -10 --frames 8 --backdrop 18222B --turntable"),
        ],
        ["From a distance", "tide-seen.png", ["show", "tide.json", "--seen", "700"]],
        ["Flat chart, picture", "tide.png", ["show", "tide.json", "--lettered", "--flat"]],
      ];
      for (const [label, name, call] of files) {
        upbead(...call, ...(call[0] === "print" ? ["-o"] : []), name, "--force");
        if (!(await page.locator("#export-panel").isVisible())) await page.click("#export");
        const file = await saved(page, () => page.getByRole("button", { name: label }).click());
        assert.equal(file.name, name);
        assert.ok(readFileSync(file.path).equals(readFileSync(join(folder, name))), label);
      }
      for (const [label, name, call] of /** @type {[string, string, string[]][]} */ ([
        [
          "Rows, written out",
          "tide-rows.md",
          words("weave tide.json --rows 20..35 --as markdown --thread 0.13"),
        ],
        ["Kit list", "tide-kit.txt", ["kit", "tide.json", "--palette", TIN, "--thread", "0.13"]],
      ])) {
        await page.click("#export");
        const file = await saved(page, () => page.getByRole("button", { name: label }).click());
        assert.equal(file.name, name);
        const told = readFileSync(file.path, "utf8");
        if (label === "Problems found") {
          // Where the program names a flag, the page names its field.
          assert.match(told, /“Leave out” quay-04/);
          assert.doesNotMatch(told, /--|upbead/);
          assert.equal(told.split("\n").length, upbead(...call).split("\n").length);
        } else {
          assert.equal(told, upbead(...call), label);
        }
      }
    });
  });

  test("documents for other programs, and the report on the chart", async () => {
    await sit(open, async (page) => {
      await chartBeadByBead(page, DUSK);
      await still(page);
      await page.click("#export");
      await page.click("#export-documents summary");
      const made = await saved(page, () => page.click("#report-save"));
      assert.equal(made.name, "harbour-dusk-made.json");
      const call = [
        "chart",
        DUSK,
        "--palette",
        TIN,
        ...words("--columns 9 --size us7 --colours 8 --match nearest"),
        ...words("-o harbour-dusk.json --json --force"),
      ];
      const said = JSON.parse(upbead(...call));
      assert.deepEqual(JSON.parse(readFileSync(made.path, "utf8")), {
        ...said,
        picture: "harbour-dusk.jpg",
      });
      /** @type {[string, string, string[]][]} */
      const documents = [
        ["Problems found", "check.txt", ["check", "harbour-dusk.json", "--palette", TIN]],
        ["Rows and thread passes", "rows.json", ["weave", "harbour-dusk.json", "--json"]],
        ["Kit", "kit.json", ["kit", "harbour-dusk.json", "--palette", TIN, "--json"]],
        ["Problems", "check.json", ["check", "harbour-dusk.json", "--palette", TIN, "--json"]],
        [
          "Rows for the ring size",
          "fit.json",
          ["fit", "--size", "us7", "--columns", "9", "--json"],
        ],
        ["Similar colours", "palette.json", ["palette", TIN, "--json"]],
        ["Schema of rows", "rows.schema.json", ["schema", "--of", "weave"]],
      ];
      for (const [label, ending, call] of documents) {
        await page.click("#export");
        const file = await saved(page, () =>
          page
            .locator("#export-panel button", { has: page.locator(`span:text-is("${label}")`) })
            .click(),
        );
        assert.equal(file.name, `harbour-dusk${ending.startsWith(".") ? "" : "-"}${ending}`);
        // What is to be read names the page's fields.
        const printed = upbead(...call);
        const named = printed.replaceAll("--without", "“Leave out”");
        const wanted = ending.endsWith(".txt") ? named : printed;
        assert.equal(readFileSync(file.path, "utf8"), wanted, label);
      }
      await touch(page, 9, 3);
      await page.click("#export");
      assert.ok(
        await page.locator("#report-save").isHidden(),
        "the report is not about a changed chart",
      );
    });
  });
});
