// The desk's program and its page in a browser that tells on every error and every request.

import assert from "node:assert/strict";
import { spawn } from "node:child_process";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { createInterface } from "node:readline";
import { after, before } from "node:test";
import { browser, closed, folder, repository, upbead, words } from "./harness.js";

/** @import { BrowserContextOptions, Page } from "playwright-core" */
/** @import { ChildProcess } from "node:child_process" */

const program = process.env.UPBEAD ?? join(repository, "target/debug/upbead");

/** A file of the repository. @param {string} path */
export function sample(path) {
  return join(repository, path);
}

export const TIN = sample("palettes/tin.csv");
export const DUSK = sample("samples/harbour-dusk.jpg");

/** What the page says once the browser has stored the work. */
export const KEPT = "kept in this browser, not saved to a file";

/** Makes the chart `kittiwake.json`, a motif on a plain ground. */
export function makeKittiwake() {
  const band = words("--columns 11 --size us7 --colours 5 --crisp 1 -o kittiwake.json --force");
  const motif = words("--match nearest --place motif --ground quay-58");
  upbead("chart", sample("samples/kittiwake.png"), "--palette", TIN, ...band, ...motif);
}

/** Makes the chart `tide.json`, a repeat with a mirror. */
export function makeTide() {
  const band = words("--rows 72 --colours 5 -o tide.json --force");
  const repeat = words("--match nearest --place repeat:4 --mirror columns");
  upbead("chart", sample("samples/tide-line.png"), "--palette", TIN, ...band, ...repeat);
}

/**
 * The bytes that the command line has written.
 * @param {string} name
 */
export function written(name) {
  return readFileSync(join(folder, name), "utf8");
}

/** @typedef {{address: string, program: ChildProcess, end: () => Promise<void>}} Open */

/**
 * Starts the program and waits until it listens.
 * @param {...string} call
 * @returns {Promise<Open>}
 */
export async function desk(...call) {
  const started = spawn(program, ["desk", "--no-open", ...call], {
    cwd: folder,
    env: { HOME: folder },
    stdio: ["ignore", "pipe", "pipe"],
  });
  const ended = new Promise((done) => started.once("exit", done));
  process.once("exit", () => started.kill());
  let errors = "";
  started.stderr.on("data", (part) => (errors += part));
  const address = await new Promise((found, failed) => {
    createInterface({ input: started.stdout }).once("line", (line) => {
      const at = /http:\/\/\S+/.exec(line);
      if (at) found(at[0]);
      else failed(new Error(`the desk says: ${line}`));
    });
    void ended.then(() => failed(new Error(`the desk ended: ${errors}`)));
  });
  const end = async () => {
    started.kill("SIGTERM");
    await ended;
  };
  return { address, program: started, end };
}

/**
 * A desk with the beads of the tin, open while the tests of a file run.
 * @param {...() => void} charts each writes a chart that the tests open
 * @returns {Open} complete before the first test
 */
export function sharedDesk(...charts) {
  const open = /** @type {Open} */ ({});
  before(async () => {
    Object.assign(open, await desk("--palette", TIN));
    for (const make of charts) make();
  });
  after(async () => {
    await open.end();
    await closed();
  });
  return open;
}

/**
 * Opens the page for `journey`, and afterwards holds it to silence: no error, no warning, no
 * request that leaves the program. Refusals that a journey provokes on purpose are named by their
 * status in `refusals`.
 * @param {Open} open
 * @param {(page: Page) => Promise<void>} journey
 * @param {BrowserContextOptions & {before?: () => void, refusals?: number[], lost?: boolean}}
 *   [given]
 */
export async function sit(open, journey, { before, refusals = [], lost = false, ...options } = {}) {
  const context = await (
    await browser()
  ).newContext({ viewport: { width: 1280, height: 800 }, acceptDownloads: true, ...options });
  /** @type {string[]} */
  const heard = [];
  try {
    context.on("console", (message) => {
      const text = message.text();
      const provoked =
        refusals.some((status) => text.includes(`status of ${status}`)) ||
        (lost && /ERR_CONNECTION/.test(text));
      if (!provoked) heard.push(`console ${message.type()}: ${text}`);
    });
    context.on("weberror", (error) => heard.push(`error: ${error.error().stack}`));
    context.on("request", (request) => {
      const url = request.url();
      if (!url.startsWith(new URL(open.address).origin) && !/^(data|blob):/.test(url))
        heard.push(`request: ${url}`);
    });
    // Files are saved as downloads, since a test cannot answer the browser's own dialog.
    await context.addInitScript(() => {
      Reflect.deleteProperty(window, "showSaveFilePicker");
    });
    if (before) await context.addInitScript(before);
    const page = await context.newPage();
    page.setDefaultTimeout(15000);
    if (process.env.UPBEAD_PAGE) await asOnDisk(page, process.env.UPBEAD_PAGE);
    await page.goto(open.address);
    await ready(page);
    await journey(page);
  } finally {
    await context.close();
  }
  assert.deepEqual(heard, []);
}

/** @type {Record<string, string>} */
const MEDIA_TYPES = { html: "text/html", css: "text/css", js: "text/javascript" };

/**
 * Serves the page's files from a folder, so that they can be tried without building the program,
 * which may not know them all yet.
 * @param {Page} page
 * @param {string} from
 */
async function asOnDisk(page, from) {
  await page.route(/\/([a-z-]+\.(js|css))?$/, async (route) => {
    if (route.request().method() !== "GET") return route.fallback();
    const name = new URL(route.request().url()).pathname.split("/").pop() || "index.html";
    const response = await route.fetch();
    const type = MEDIA_TYPES[name.split(".").pop() ?? ""];
    const headers = { ...response.headers(), "content-type": `${type}; charset=utf-8` };
    const isPage = name === "index.html";
    const status = isPage ? response.status() : 200;
    const read = (/** @type {string} */ file) => readFileSync(join(from, file), "utf8");
    // The program puts the parts of the page in as well.
    const body = read(name).replace(/<!-- (\S+\.html) -->\n/g, (_, part) => read(part));
    await route.fulfill({ status, headers, body });
  });
}

/**
 * Opens an address in another tab of the same browser.
 * @param {Page} page
 * @param {string} address
 */
export async function beside(page, address) {
  const other = await page.context().newPage();
  if (process.env.UPBEAD_PAGE) await asOnDisk(other, process.env.UPBEAD_PAGE);
  await other.goto(address);
  await ready(other);
  return other;
}

/** @param {Page} page */
export async function ready(page) {
  await page.locator("html[data-ready]").waitFor({ state: "attached" });
  // What is folded away beside the mat is in reach of every journey.
  await page.evaluate(() =>
    document
      .querySelectorAll("#placement-more, #colours-more")
      .forEach((fold) => fold.toggleAttribute("open", true)),
  );
}

/**
 * Gives a file to a button that asks for one.
 * @param {Page} page
 * @param {string} button
 * @param {string | {name: string, mimeType: string, buffer: Buffer}} file
 */
export async function give(page, button, file) {
  const asked = page.waitForEvent("filechooser");
  await page.locator(button).click();
  await (await asked).setFiles(file);
}

/**
 * Sets the form so that pictures are charted bead by bead, in at most 8 colours: most journeys are
 * about what is done with a chart, not about what its picture is read as.
 * @param {Page} page
 */
export function matchBeadByBead(page) {
  return page.evaluate(() => {
    for (const [id, value] of Object.entries({ match: "nearest", colours: "8" })) {
      const field = document.getElementById(id);
      if (field instanceof HTMLSelectElement || field instanceof HTMLInputElement) {
        field.value = value;
      }
    }
  });
}

/**
 * Gives a picture to be charted bead by bead.
 * @param {Page} page
 * @param {string} picture
 */
export async function chartBeadByBead(page, picture) {
  await matchBeadByBead(page);
  await give(page, "#picture-choose", picture);
}

/**
 * Lets a file fall on the page.
 * @param {Page} page
 * @param {string} name
 * @param {Buffer} bytes
 */
export async function drop(page, name, bytes) {
  const carried = await page.evaluateHandle(
    ({ name, bytes }) => {
      const data = new DataTransfer();
      data.items.add(
        new File([Uint8Array.from(atob(bytes), (letter) => letter.charCodeAt(0))], name),
      );
      return data;
    },
    { name, bytes: bytes.toString("base64") },
  );
  await page.dispatchEvent("#workspace", "dragover", { dataTransfer: carried });
  await page.dispatchEvent("#workspace", "drop", { dataTransfer: carried });
}

/**
 * The chart as it would be saved.
 * @param {Page} page
 * @returns {Promise<string>}
 */
export function text(page) {
  return page.evaluate(() => /** @type {any} */ (window).upbeadDesk.chartText());
}

/**
 * The colour's name at a row and column.
 * @param {Page} page
 * @param {number} row
 * @param {number} column
 * @returns {Promise<string>}
 */
export function beadAt(page, row, column) {
  return page.evaluate(
    ([row, column]) => {
      const { state, lattice } = /** @type {any} */ (window).upbeadDesk;
      const { chart } = state.history;
      return chart.colours[chart.beads[lattice.index(chart, row, column)]].name;
    },
    [row, column],
  );
}

/**
 * The middle of a bead on the screen.
 * @param {Page} page
 * @param {number} row
 * @param {number} column
 * @returns {Promise<{x: number, y: number}>}
 */
export function middle(page, row, column) {
  return page.evaluate(
    ([row, column]) => {
      const { state, canvas, lattice } = /** @type {any} */ (window).upbeadDesk;
      const bead = lattice.index(state.history.chart, row, column);
      canvas.reveal(bead);
      return canvas.centreOf(bead);
    },
    [row, column],
  );
}

/**
 * Presses a bead with the mouse.
 * @param {Page} page
 * @param {number} row
 * @param {number} column
 */
export async function touch(page, row, column) {
  const { x, y } = await middle(page, row, column);
  await page.mouse.click(x, y);
}

/**
 * Draws from one bead to another without letting go.
 * @param {Page} page
 * @param {[number, number]} from
 * @param {[number, number]} to
 */
export async function draw(page, from, to) {
  const start = await middle(page, ...from);
  const end = await middle(page, ...to);
  await page.mouse.move(start.x, start.y);
  await page.mouse.down();
  await page.mouse.move(end.x, end.y, { steps: 6 });
  await page.mouse.up();
}

/**
 * Takes a colour in hand by its name.
 * @param {Page} page
 * @param {string} name
 */
export async function take(page, name) {
  await page
    .locator("button.swatch", {
      has: page.locator(`.swatch-name`, { hasText: new RegExp(`^${name}$`) }),
    })
    .click();
}

/**
 * Presses a button that gives a file, and waits for the file.
 * @param {Page} page
 * @param {() => Promise<void>} press
 */
export async function saved(page, press) {
  const coming = page.waitForEvent("download");
  await press();
  const download = await coming;
  return { name: download.suggestedFilename(), path: await download.path() };
}

/**
 * Waits until nothing more is asked of the program and the chart has been still for a moment.
 * @param {Page} page
 */
export async function still(page) {
  await page.waitForFunction(() => !document.querySelector("#workspace.busy"));
  let last = "";
  for (let same = 0; same < 2;) {
    await page.waitForTimeout(120);
    const now = await page.evaluate(
      () =>
        /** @type {any} */ (window).upbeadDesk.chartText() +
        document.querySelector("#workspace")?.className,
    );
    same = now === last && !now.endsWith("busy") ? same + 1 : 0;
    last = now;
  }
}

/**
 * Opens a chart from the folder.
 * @param {Page} page
 * @param {string} name
 */
export async function openChart(page, name) {
  await give(page, "#open-chart", join(folder, name));
  await page.waitForFunction(
    (name) => /** @type {any} */ (window).upbeadDesk.state.file === name,
    name,
  );
}

/**
 * Waits for an error with these words.
 * @param {Page} page
 * @param {string} words
 */
export async function says(page, words) {
  const places = "#error:visible, .field-error:visible";
  await page.locator(places, { hasText: words }).first().waitFor();
}

/**
 * Waits until the page says where the work is.
 * @param {Page} page
 * @param {string} words
 */
export async function stateSays(page, words) {
  await page.locator("#save-state", { hasText: words }).waitFor();
}

/**
 * Unfolds the export settings.
 * @param {Page} page
 */
export function unfoldSettings(page) {
  return page.evaluate(() => {
    for (const each of document.querySelectorAll("#export-options details")) {
      each.removeAttribute("name");
      each.toggleAttribute("open", true);
    }
  });
}
