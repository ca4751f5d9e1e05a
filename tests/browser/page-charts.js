// The charts whose follow-along pages are tested.

import assert from "node:assert/strict";
import { join } from "node:path";
import { button, putChart, repository, step, upbead, words } from "./harness.js";

/** @import { Page } from "playwright-core" */
/** @import { Chart } from "./harness.js" */

/** A title that looks like markup. */
export const NASTY = `</script><script>alert("tide")</script> <!-- "Mo'we" & 🪡 {script} \u2028`;

/** Journeys that run side by side: each has a context of its own. */
export const AT_ONCE = { concurrency: 3 };

/**
 * A strip with an even count of columns, an odd one of rows, names that are hard to set.
 * @returns {Chart}
 */
export function strip() {
  const rows = Array.from({ length: 9 }, (_, row) =>
    Array.from({ length: 3 }, (_, at) => (row * at + row) % 3),
  );
  const colours = [
    { code: "a<b", name: `<img src=x onerror="alert('kelp')">`, hex: "2F5D50" },
    { code: "b", name: "θάλασσα, 2nd lot", hex: "1C3261" },
    { code: "c", name: "bladderwrackbladderwrackbladderwrackbladderwrack", hex: "FAFAF6" },
  ];
  return { columns: 6, closed: false, title: NASTY, colours, rows };
}

/** Makes a ring, a ring of many colours, a panel and a strip. */
export function makeCharts() {
  const sample = (/** @type {string} */ path) => join(repository, path);
  const [tin, harbour] = [sample("palettes/tin.csv"), sample("palettes/harbour.csv")];
  const [tide, dusk] = [sample("samples/tide-line.png"), sample("samples/harbour-dusk.jpg")];
  const repeat = words("--rows 72 --place repeat:4 --mirror columns --colours 5 -o tide.json");
  const ring = words("--colours 12 --columns 9 --size us7 -o dusk.json");
  const panel = words("--colours 24 --open --columns 81 --rows 240 -o panel.json");
  const nearest = ["--match", "nearest"];
  upbead("chart", tide, "--palette", tin, ...nearest, ...repeat);
  upbead("chart", dusk, "--palette", harbour, ...nearest, ...ring);
  upbead("chart", dusk, "--palette", harbour, ...nearest, ...panel);
  putChart("strip.json", strip());
}

/**
 * Goes to the step in which a row is woven.
 * @param {Page} page
 * @param {number} row
 */
export async function toRow(page, row) {
  await button(page, "More").click();
  await page.getByLabel("Row", { exact: true }).fill(String(row));
  await button(page, "Go").click();
  assert.equal(await step(page), `Row ${row}`);
}
