// Makes the sheet of all letters in samples/pictures: `npm run letters-sheet`, then look at it.
// Lines along the band are charted as one text; letters across it each alone.

import { join } from "node:path";
import { browser, chartOf, closed, repository, upbead } from "./harness.js";

/** @import { Chart } from "./harness.js" */
/** @typedef {{x: number, y: number}} Place */

const LINES = [
  "ABCDEFGHIJKLM",
  "NOPQRSTUVWXYZ",
  "0123456789&.,-'!?+♥★",
  "ÀÁÂÃÄÅĄÆÇĆČĎÐ",
  "ÈÉÊËĚĘÌÍÎÏŁÑŃŇ",
  "ÒÓÔÕÖØŐŒŘŚŠẞŤÞ",
  "ÙÚÛÜŮŰŸÝŹŽŻ",
  "ΓΔΘΛΞΠΣΦΨΩ",
  "БГДЖЗИЙЛПУФЦЧ",
  "ШЩЪЫЬЭЮЯЁЄЇ",
];
const HEIGHTS = ["9", "7", "5"];
// A bead's length and diameter in the drawing.
const LONG = 6.5;
const WIDE = 8;
const SCALE = 0.75;

/**
 * The chart of a text on a plain band; none where a letter is not drawn at this height.
 * @param {string} text
 * @param {...string} options
 */
function charted(text, ...options) {
  const rows = String(24 + 24 * text.length);
  const band = ["--columns", "15", "--rows", rows, "--open", "--letters", text];
  const palette = ["--palette", join(repository, "palettes/tin.csv")];
  const colours = ["--ground", "quay-01", "--ink", "quay-09", "-o", "text.json", "--force"];
  try {
    upbead("chart", "--plain", ...band, ...palette, ...colours, ...options);
  } catch (error) {
    if (String(error).includes("to set here")) return undefined;
    throw error;
  }
  return chartOf("text.json");
}

/**
 * Letters along the band at a height, without those that are not drawn.
 * @param {string} line
 * @param {string} height
 */
function along(line, height) {
  const options = ["--letters-height", height];
  const whole = charted(line, ...options);
  if (whole) return whole;
  const has = [...line].filter((letter) => charted(letter, ...options));
  return has.length > 0 ? charted(has.join(""), ...options) : undefined;
}

/**
 * Where the beads of the letters are, x to the right and y downwards, upright to the reader.
 * @param {Chart} chart
 * @param {boolean} isAlong
 */
function inked(chart, isAlong) {
  const ink = chart.colours.findIndex(({ code }) => code === "quay-09");
  /** @type {Place[]} */
  const found = [];
  for (const [row, own] of chart.rows.entries()) {
    for (const [at, colour] of own.entries()) {
      if (colour !== ink) continue;
      const column = 2 * at + (row % 2);
      const [round, across] = [(row * WIDE) / 2, column * LONG];
      found.push(isAlong ? { x: round, y: across } : { x: across, y: -round });
    }
  }
  return found;
}

/**
 * @param {Chart | undefined} chart
 * @param {boolean} isAlong
 */
function drawing(chart, isAlong) {
  if (!chart) return "";
  const own = inked(chart, isAlong);
  const [width, height] = isAlong ? [WIDE, LONG] : [LONG, WIDE];
  const left = Math.min(...own.map(({ x }) => x));
  const top = Math.min(...own.map(({ y }) => y));
  const right = Math.max(...own.map(({ x }) => x)) + width;
  const bottom = Math.max(...own.map(({ y }) => y)) + height;
  const size = `width="${width - 0.6}" height="${height - 0.6}" rx="1.2"`;
  const beads = own.map(({ x, y }) => `<rect x="${x + 0.3}" y="${y + 0.3}" ${size}/>`);
  const box = `${left} ${top} ${right - left} ${bottom - top}`;
  const scale = `width="${(right - left) * SCALE}" height="${(bottom - top) * SCALE}"`;
  return `<svg ${scale} viewBox="${box}">${beads.join("")}</svg>`;
}

/** @param {string} name @param {string[]} drawings */
const section = (name, drawings) =>
  `<section><h2>${name}</h2>${drawings.map((own) => `<div>${own}</div>`).join("")}</section>`;

const sections = HEIGHTS.map((height) =>
  section(
    `${height} columns high, along the band`,
    LINES.map((line) => drawing(along(line, height), true)),
  ),
);
const across = (/** @type {string} */ letter) =>
  drawing(charted(letter, "--letters-direction", "across"), false);
sections.push(
  section(
    "Across the band",
    LINES.map((line) => [...line].map(across).join("")),
  ),
);
const style = `
  body { margin: 24px; width: 760px; background: #fafaf6; color: #1d2a38; font: 13px sans-serif }
  h2 { font-size: 15px; margin: 18px 0 10px; border-bottom: 1px solid #c9cfd4; padding-bottom: 3px }
  div { display: flex; flex-wrap: wrap; gap: 14px; margin-bottom: 12px; align-items: flex-end }
  svg { fill: #17202a }`;
const page = await (await browser()).newPage({ viewport: { width: 808, height: 900 } });
await page.setContent(`<style>${style}</style>${sections.join("")}`);
await page.screenshot({ path: join(repository, "samples/pictures/letters.png"), fullPage: true });
await closed();
