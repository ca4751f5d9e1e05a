// Which colours are in stock, which are offered beside the chart's own, and which one is used
// first.

import { channels, luminance } from "./bead-drawing.js";
import { beadCounts, chartColour } from "./chart.js";
import { currentChart, state } from "./state.js";
import { readSetting, writeSetting } from "./storage.js";

/** @typedef {import("./chart.js").Chart} Chart @typedef {import("./chart.js").Colour} Colour */
/** @typedef {import("./state.js").PaletteColour} PaletteColour */
/** @typedef {Record<string, unknown>} Ticks whether a colour is in stock, by its code */

/** A chart with up to so many colours has suggested colours beside it, to fill up the swatches. */
const FEW_COLOURS = 5;
const SWATCHES = 8;
/** Most colours that are suggested. */
const MAX_SUGGESTED = 7;

/** Ticks of this visit, where the browser refuses to store them. @type {Ticks} */
let visitTicks = {};

/**
 * The colour of a chart that is used first: the second most common, the most common being the
 * ground, or a suggested one.
 * @param {Chart} chart
 */
export function defaultColour(chart) {
  const counts = beadCounts(chart);
  const order = counts.map((_, at) => at).sort((one, other) => counts[other] - counts[one]);
  const suggested = state.suggestedColours[0];
  if (order.length === 1 && suggested) return chartColour(suggested);
  return chart.colours[order[1] ?? order[0]];
}

/**
 * Suggests colours in stock that differ much from the chart's colours and from each other: as many
 * as fill up the swatches now, so that none vanishes while the chart gets more colours.
 */
export function suggestColours() {
  const ticks = stockTicks();
  const chart = currentChart();
  const all = (state.palette?.colours ?? []).filter((colour) => isInStock(colour.code, ticks));
  const points = all.map(({ hex }) => channels(hex));
  /** The squared distance of each colour to the nearest colour chosen. */
  const distances = new Array(all.length).fill(Infinity);
  const choose = (/** @type {number[]} */ point) => {
    points.forEach((own, nth) => {
      const distance = own.reduce((sum, part, at) => sum + (part - point[at]) ** 2, 0);
      distances[nth] = Math.min(distances[nth], distance);
    });
  };
  const chosen = new Set(chart.colours.map((colour) => colour.code));
  for (const { hex } of chart.colours) choose(channels(hex));
  state.suggestedColours = [];
  const { length } = chart.colours;
  const room = length <= FEW_COLOURS ? Math.min(SWATCHES - length, MAX_SUGGESTED) : 0;
  while (state.suggestedColours.length < Math.min(room, all.length - 1)) {
    let next = -1;
    distances.forEach((distance, nth) => {
      if (chosen.has(all[nth].code)) return;
      if (next < 0 || distance > distances[next]) next = nth;
    });
    if (next < 0) return;
    chosen.add(all[next].code);
    choose(points[next]);
    state.suggestedColours.push(all[next]);
  }
}

/**
 * The colours that are shown beside those of the chart.
 * @param {Chart} chart
 * @returns {PaletteColour[]}
 */
export function extraColours(chart) {
  const all = [...state.addedColours, ...state.suggestedColours];
  return all.filter(({ code }, nth) => {
    const isInChart = chart.colours.some((other) => other.code === code);
    return !isInChart && all.findIndex((other) => other.code === code) === nth;
  });
}

function ticksSetting() {
  return `owned in ${state.palette?.name ?? ""}`;
}

/**
 * What the user ticked as in stock or not.
 * @returns {Ticks}
 */
export function stockTicks() {
  return readSetting(ticksSetting()) ?? visitTicks;
}

/**
 * Whether a colour is in stock: as ticked, else as the palette says, where no grams stated means
 * enough and zero grams means none.
 * @param {string} code
 * @param {Ticks} [ticks] read once where many colours are asked for
 */
export function isInStock(code, ticks = stockTicks()) {
  if (code in ticks) return ticks[code] === true;
  const colour = state.palette?.colours.find((other) => other.code === code);
  return colour !== undefined && colour.grams !== 0;
}

/**
 * Ticks a colour as in stock, or unticks it.
 * @param {string} code
 * @returns {boolean} whether it is in stock now
 */
export function toggleInStock(code) {
  const isNow = !isInStock(code);
  visitTicks = { ...stockTicks(), [code]: isNow };
  writeSetting(ticksSetting(), visitTicks);
  return isNow;
}

/**
 * A colour for a plain band: dark but not black, else the first.
 * @param {PaletteColour[]} colours
 */
export function plainColour(colours) {
  const dark = colours.find(({ code, hex }) => {
    const light = luminance(hex);
    return light > 0.02 && light < 0.12 && isInStock(code);
  });
  return dark ?? colours[0];
}
