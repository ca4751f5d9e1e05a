// Makes the pictures of the follow-along page in samples/pictures: `npm run pictures`, then look at
// them.

import { join } from "node:path";
import { button, closed, pageOf, press, repository, upbead, visit, words } from "./harness.js";

const sample = (/** @type {string} */ path) => join(repository, "samples", path);
const tin = join(repository, "palettes/tin.csv");
const tide = words("--rows 72 --place repeat:4 --mirror columns --colours 5 -o tide.json");
const gull = words("--columns 11 --size us7 --place motif --ground quay-58 --colours 5");
const named = (/** @type {string} */ title) => ["--palette", tin, "--title", title];
upbead("chart", sample("tide-line.png"), ...named("Tide line"), ...tide);
upbead("chart", sample("kittiwake.png"), ...named("Kittiwake"), ...gull, "-o", "kittiwake.json");

/** @type {import("playwright-core").BrowserContextOptions} */
const look = { reducedMotion: "reduce" };
await visit(
  pageOf("tide.json"),
  async (page) => {
    await press(page, "ArrowRight", 20);
    await page.screenshot({ path: sample("pictures/follow-row.png") });
  },
  { ...look, colorScheme: "light" },
);
await visit(
  pageOf("kittiwake.json"),
  async (page) => {
    await press(page, "ArrowRight", 30);
    await button(page, "Bead by bead").tap();
    await press(page, "ArrowRight", 3);
    await page.evaluate(
      () => document.activeElement instanceof HTMLElement && document.activeElement.blur(),
    );
    await page.screenshot({ path: sample("pictures/follow-count.png") });
  },
  { ...look, colorScheme: "dark" },
);
await closed();
