// Names that look like markup or like a formula, in every place where a name may stand: on the
// desk and in every file that a browser opens, they are text.

import assert from "node:assert/strict";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { after, before, describe, test } from "node:test";
import { desk, give, openChart, saved, sit, still, unfoldSettings } from "./desk-harness.js";
import { browser, closed, folder, repository, upbead } from "./harness.js";

/** @import { Page } from "playwright-core" */

/** Each would run, if it were markup, and end an attribute, an element, a comment or a script. */
const MARKUP =
  `"'></title></text></style></script><script>window.ran = 1</script>` +
  `<img src=x onerror="window.ran = 1"><svg onload="window.ran = 1"/>--><!--`;
/** No name of a file may have a slash. */
const FILE = `<img src=x onerror="window.ran = 1">`;

const COLOURS = ["E8D8B0", "1C3261", "FAFAF6", "CD2626"];

const palette = join(folder, `${FILE}.csv`);
const picture = join(folder, `${FILE}.png`);

before(() => {
  const quoted = (/** @type {string} */ text) => `"${text.replaceAll('"', '""')}"`;
  const rows = COLOURS.map((hex, at) =>
    [quoted(`${at}${MARKUP}`), quoted(`=1+${at}${MARKUP}`), hex, 40].join(),
  );
  writeFileSync(palette, ["code,name,hex,grams", ...rows, ""].join("\n"));
  writeFileSync(picture, readFileSync(join(repository, "samples/tide-line.png")));
  const call = ["--palette", palette, "--size", "us7", "--match", "nearest", "-o", "named.json"];
  upbead("chart", picture, ...call);
  const chart = JSON.parse(readFileSync(join(folder, "named.json"), "utf8"));
  writeFileSync(join(folder, "named.json"), JSON.stringify({ ...chart, title: MARKUP }));
});
after(closed);

/**
 * Nothing ran, and no name became an element.
 * @param {Page} page
 * @param {string} where
 */
async function isText(page, where) {
  const found = await page.evaluate(() => [
    "ran" in window,
    document.querySelectorAll("img[src=x], [onerror], [onload]").length,
    [...document.querySelectorAll("script")].some((one) =>
      one.textContent?.startsWith("window.ran"),
    ),
  ]);
  assert.deepEqual(found, [false, 0, false], where);
}

describe("names that look like markup", () => {
  test("are text on the desk", async () => {
    const open = await desk("--palette", palette);
    try {
      await sit(open, async (page) => {
        await give(page, "#picture-choose", picture);
        await still(page);
        await isText(page, "a picture");
        await openChart(page, "named.json");
        await still(page);
        await isText(page, "a chart");
        await page.click("#palette-button");
        await page
          .locator(".palette-colour", { hasText: `=1+1${MARKUP}` })
          .first()
          .waitFor();
        await page.click("#similar summary");
        await page.locator("#similar-pairs li").first().waitFor();
        await isText(page, "the palette");
        await page.keyboard.press("Escape");
        await page.click("#export");
        await unfoldSettings(page);
        await isText(page, "exports");
        const file = await saved(page, () =>
          page.getByRole("button", { name: "Kit table" }).click(),
        );
        // A spreadsheet takes no cell for a formula.
        assert.doesNotMatch(readFileSync(file.path, "utf8"), /(^|,|")[=+@-]/m);
      });
    } finally {
      await open.end();
    }
  });

  test("are text in every file that a browser opens", async () => {
    upbead("show", "named.json", "--flat", "named.svg");
    upbead("show", "named.json", "--flat", "lettered.svg", "--lettered");
    upbead("weave", "named.json", "--page", "named.html");
    for (const name of ["named.svg", "lettered.svg", "named.html"]) {
      const context = await (await browser()).newContext();
      try {
        const page = await context.newPage();
        page.on("dialog", (dialog) => assert.fail(dialog.message()));
        await page.goto(pathToFileURL(join(folder, name)).href);
        await page.waitForTimeout(100);
        await isText(page, name);
        assert.ok(
          (await page.evaluate(() => document.documentElement.textContent)).includes("<img"),
        );
      } finally {
        await context.close();
      }
    }
  });
});
