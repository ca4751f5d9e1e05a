// The colours of a chart as a palette of their own.

import { isSameColour } from "./chart.js";

/** @typedef {import("./chart.js").Chart} Chart @typedef {import("./chart.js").Colour} Colour */

/**
 * Whether a palette has every colour of a chart.
 * @param {{colours: Colour[]} | null} palette
 * @param {Chart} chart
 */
export function hasAllColours(palette, chart) {
  const colours = palette?.colours ?? [];
  return chart.colours.every((colour) => colours.some((other) => isSameColour(other, colour)));
}

/**
 * Colours as the text of a palette's file.
 * @param {Colour[]} colours
 */
export function paletteText(colours) {
  const lines = colours.map(({ code, name, hex, finish }) =>
    [code, name, hex, finish ?? ""].map(cell).join(","),
  );
  return `code,name,hex,finish\n${lines.join("\n")}\n`;
}

/** A cell of a CSV file (RFC 4180). @param {string} text */
function cell(text) {
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
