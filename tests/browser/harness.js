// The program, its pages in a folder of their own, and a browser that tells on every error and
// every request.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { chromium } from "playwright-core";

/** @import { Browser, BrowserContext, BrowserContextOptions, Page } from "playwright-core" */

const here = dirname(fileURLToPath(import.meta.url));
export const repository = join(here, "../..");
const program = process.env.UPBEAD ?? join(repository, "target/debug/upbead");

// The one without a window takes about half the processor time.
const BROWSERS = ["/usr/bin/chromium-headless-shell", "/usr/bin/chromium"];
const FLAGS = [
  "--disable-gpu",
  "--disable-quic",
  "--no-first-run",
  "--disable-background-networking",
  "--disable-component-update",
  "--disable-sync",
];

/** A folder that goes when the tests end. */
export const folder = mkdtempSync(join(tmpdir(), "upbead-browser-"));
process.on("exit", () => rmSync(folder, { recursive: true, force: true }));

/**
 * Runs the program in the folder.
 * @param {...string} call
 */
export function upbead(...call) {
  return execFileSync(program, call, {
    cwd: folder,
    encoding: "utf8",
    stdio: ["ignore", "pipe", "pipe"],
    env: { HOME: folder },
  });
}

/**
 * The arguments in a line.
 * @param {string} line
 */
export function words(line) {
  return line.split(" ");
}

/**
 * @param {string} name
 * @returns {Chart}
 */
export function chartOf(name) {
  return JSON.parse(readFileSync(join(folder, name), "utf8"));
}

/**
 * @typedef {{columns: number, closed: boolean, title?: string, colours: {code: string, name:
 *   string, hex: string}[], rows: number[][]}} Chart
 */

/**
 * Puts a chart into the folder.
 * @param {string} name
 * @param {Chart} chart
 */
export function putChart(name, chart) {
  const whole = {
    format: "upbead-chart",
    version: 1,
    bead: { length_mm: 1.3, diameter_mm: 1.6, hole_mm: 0.8 },
    ...chart,
    made: { source: "", sha256: "", options: {}, version: "" },
  };
  writeFileSync(join(folder, name), JSON.stringify(whole));
}

/**
 * The address of a page of the chart, made with these options.
 * @param {string} chart
 * @param {...string} options
 */
export function pageOf(chart, ...options) {
  const name = `${chart.replace(".json", "")}${options.join("").replace(/[^a-z0-9]/g, "")}.html`;
  upbead("weave", chart, "--page", name, "--force", ...options);
  return pathToFileURL(join(folder, name)).href;
}

/** @type {Promise<Browser> | undefined} */
let started;

export function browser() {
  started ??= chromium.launch({
    executablePath: process.env.CHROMIUM ?? BROWSERS.find(existsSync),
    chromiumSandbox: false,
    args: FLAGS,
  });
  return started;
}

export async function closed() {
  await (await started)?.close();
}

/** A phone held upright. */
export const PHONE = { viewport: { width: 360, height: 640 }, hasTouch: true };

/**
 * Opens the page for `journey`, and afterwards holds it to silence: no error, no message, no
 * request but the page itself.
 * @param {string} address
 * @param {(page: Page, context: BrowserContext) => Promise<void>} journey
 * @param {BrowserContextOptions & {before?: string | (() => void)}} [given]
 */
export async function visit(address, journey, { before, ...options } = {}) {
  const context = await (await browser()).newContext({ ...PHONE, ...options });
  /** @type {string[]} */
  const heard = [];
  try {
    context.on("console", (message) => heard.push(`console ${message.type()}: ${message.text()}`));
    context.on("weberror", (error) => heard.push(`error: ${error.error().message}`));
    context.on("dialog", (dialog) => {
      heard.push(`dialog: ${dialog.message()}`);
      void dialog.dismiss();
    });
    context.on("request", (request) => {
      const own = request.url().split("#")[0] === address || /^(data|blob):/.test(request.url());
      if (!own) heard.push(`request: ${request.url()}`);
    });
    if (before) await context.addInitScript(before);
    const page = await context.newPage();
    page.setDefaultTimeout(15_000);
    await page.goto(address);
    await page.getByRole("heading", { level: 2 }).first().waitFor();
    await journey(page, context);
  } finally {
    await context.close();
  }
  assert.deepEqual(heard, []);
}

/**
 * The step's heading.
 * @param {Page} page
 */
export function step(page) {
  return page.locator(".follow-step h2").innerText();
}

/**
 * @param {Page} page
 * @param {string} name
 */
export function button(page, name) {
  return page.getByRole("button", { name, exact: true });
}

/**
 * The large button, whatever it says.
 * @param {Page} page
 */
export function next(page) {
  return page.locator(".follow-next");
}

/**
 * Presses a key so many times.
 * @param {Page} page
 * @param {string} key
 * @param {number} times
 */
export async function press(page, key, times) {
  for (let time = 0; time < times; time += 1) await page.keyboard.press(key);
}

/**
 * Loads the page again. Seldom, with many pages at once, Chromium gives the new one what was stored
 * before the last write; that is loaded once more.
 * @param {Page} page
 */
export async function reload(page) {
  const stored = () => page.evaluate(() => JSON.stringify(Object.entries(localStorage).sort()));
  const before = await stored();
  await page.reload();
  for (let time = 0; time < 5 && (await stored()) !== before; time += 1) await page.reload();
}

/**
 * The row's runs as they stand on the page.
 * @param {Page} page
 */
export function runs(page) {
  return page.locator(".follow-runs li").evaluateAll((items) =>
    items.map((item) => ({
      count: Number(item.querySelector(".count")?.textContent),
      name: item.querySelector(".name")?.textContent ?? "",
    })),
  );
}
