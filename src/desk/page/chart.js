// A chart: read from the JSON of a chart file, and written as the same bytes as the command line.
// Charts are never changed in place: an edit makes a new one.

import { readRecord } from "./chart-record.js";
import * as lattice from "./lattice.js";

/** @typedef {{code: string, name: string, hex: string, finish?: string | null}} Colour */
/**
 * @typedef {{source: string, sha256: string, options: Record<string, string>, version: string}}
 *   Made How the chart was made.
 */
/** @typedef {{length_mm: number, diameter_mm: number, hole_mm: number}} Bead */
/**
 * @typedef {object} Chart
 * @property {string} [title]
 * @property {string} [notes]
 * @property {Bead} bead
 * @property {number} columns
 * @property {number} rows
 * @property {boolean} closed
 * @property {Colour[]} colours
 * @property {Uint16Array} beads the number of each bead's colour, in lattice order
 * @property {Made} made
 */

/**
 * The chart in the text of a chart file, which the server has checked.
 * @param {string} text
 * @returns {Chart}
 */
export function readChart(text) {
  const file = JSON.parse(text);
  const { format: _format, version: _version, rows, ...rest } = file;
  const chart = { ...rest, rows: rows.length };
  const beads = new Uint16Array(lattice.count(chart));
  let at = 0;
  for (const row of rows) for (const colour of row) beads[at++] = colour;
  if (at !== beads.length) throw new Error("the rows do not fill the band");
  return { ...chart, beads };
}

/**
 * The text of the chart's file, byte for byte as the command line writes it.
 * @param {Chart} chart
 */
export function writeChart(chart) {
  const quoted = JSON.stringify;
  const { bead, made } = chart;
  const size =
    `{"length_mm": ${bead.length_mm}, "diameter_mm": ${bead.diameter_mm}, ` +
    `"hole_mm": ${bead.hole_mm}}`;
  let text = '{\n  "format": "upbead-chart",\n  "version": 1,\n';
  if (chart.title !== undefined) text += `  "title": ${quoted(chart.title)},\n`;
  if (chart.notes !== undefined) text += `  "notes": ${quoted(chart.notes)},\n`;
  text += `  "bead": ${size},\n  "columns": ${chart.columns},\n  "closed": ${chart.closed},\n`;
  text += `  "colours": [\n${lines(chart.colours.map(colourText))}  ],\n`;
  text += `  "rows": [\n${lines(rowTexts(chart))}  ],\n`;
  text += `  "made": {\n    "source": ${quoted(made.source)},\n`;
  text += `    "sha256": ${quoted(made.sha256)},\n    "options": {`;
  const options = Object.entries(made.options);
  if (options.length) {
    const written = options.map(([name, value]) => `  ${quoted(name)}: ${quoted(value)}`);
    text += `\n${lines(written)}    `;
  }
  return `${text}},\n    "version": ${quoted(made.version)}\n  }\n}\n`;
}

/** @param {string[]} items */
function lines(items) {
  return items.map((item) => `    ${item}`).join(",\n") + (items.length ? "\n" : "");
}

/** @param {Colour} colour */
function colourText({ code, name, hex, finish }) {
  const more = finish ? `, "finish": "${finish}"` : "";
  const quoted = JSON.stringify;
  return `{"code": ${quoted(code)}, "name": ${quoted(name)}, "hex": "${hex}"${more}}`;
}

/** @param {Chart} chart */
function rowTexts(chart) {
  const rows = [];
  for (let row = 1; row <= chart.rows; row++) {
    const start = lattice.rowStart(chart, row);
    const beads = chart.beads.subarray(start, start + lattice.beadsIn(chart, row));
    rows.push(`[${beads.join(",")}]`);
  }
  return rows;
}

/**
 * The chart with a remark that beads were changed by hand: it cannot be made again from its options
 * alone.
 * @param {Chart} chart
 * @returns {Chart}
 */
export function markEdited(chart) {
  const options = { ...chart.made.options, mended: "by hand" };
  return { ...chart, made: { ...chart.made, options } };
}

/**
 * How many beads each colour has.
 * @param {Chart} chart
 */
export function beadCounts(chart) {
  /** @type {number[]} */
  const counts = new Array(chart.colours.length).fill(0);
  for (const colour of chart.beads) counts[colour]++;
  return counts;
}

/**
 * The colour that most beads have.
 * @param {Chart} chart
 */
export function mostCommonColour(chart) {
  const counts = beadCounts(chart);
  return chart.colours[counts.indexOf(Math.max(...counts))];
}

/**
 * The connected beads of one colour around a bead, itself included.
 * @param {Chart} chart
 * @param {number} start
 */
export function connectedArea(chart, start) {
  const area = new Set([start]);
  const open = [start];
  for (let bead = open.pop(); bead !== undefined; bead = open.pop()) {
    for (const next of lattice.neighbours(chart, bead)) {
      if (area.has(next) || chart.beads[next] !== chart.beads[start]) continue;
      area.add(next);
      open.push(next);
    }
  }
  return [...area];
}

/**
 * The axes of a chart's mirrors: end to end about the middle of its motif, as its record has it.
 * @param {Chart} chart
 * @param {lattice.Mirror[]} mirrors
 * @returns {lattice.Axis[]}
 */
export function mirrorAxes(chart, mirrors) {
  const { position = "" } = readRecord(chart.made.options);
  const up = Number(position.split(",")[2] ?? 0) / (chart.bead.diameter_mm / 2);
  const row = lattice.endsAxis(chart, Math.round(up));
  return mirrors.map((mirror) => (mirror === "columns" ? mirror : row));
}

/**
 * Whether two colours, perhaps of different palettes, are the same.
 * @param {Colour} one
 * @param {Colour} other
 */
export function isSameColour(one, other) {
  const isSameHex = one.hex.toUpperCase() === other.hex.toUpperCase();
  return one.code === other.code && one.name === other.name && isSameHex;
}

/**
 * The chart's colour that has the same code as a different colour. That colour cannot be used in
 * the chart, since codes are unique there.
 * @param {Chart} chart
 * @param {Colour} colour
 */
export function conflictingColour(chart, colour) {
  return chart.colours.find((other) => other.code === colour.code && !isSameColour(other, colour));
}

/**
 * A colour with only the fields that a chart stores.
 * @param {Colour} colour
 * @returns {Colour}
 */
export function chartColour({ code, name, hex, finish }) {
  return finish ? { code, name, hex, finish } : { code, name, hex };
}
