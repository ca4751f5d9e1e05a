// Which colours are owned, which stand ready beside the chart's own, which one a hand would take first.

import { luminance } from "./beads.js";
import * as charts from "./chart.js";
import * as keeping from "./keep.js";
import { chart, desk } from "./state.js";

/** @typedef {import("./chart.js").Chart} Chart @typedef {import("./chart.js").Colour} Colour */
/** @typedef {import("./dishes.js").Stocked} Stocked */

/** Up to so many colours, a chart has a few more dishes beside it. */
const FEW = 5;

/** The colour of a chart that a hand would take first: the one that most beads have beside the ground, or one that stands ready. @param {Chart} now */
export function strongest(now) {
  const counts = charts.counts(now);
  const order = counts.map((_, at) => at).sort((one, other) => counts[other] - counts[one]);
  const spare = desk.spare[0];
  if (order.length === 1 && spare) return charts.plain(spare);
  return now.colours[order[1] ?? order[0]];
}

/** A plain band is no fun with one dish: a few colours far apart stand ready. */
export function putOutSome() {
  const ticks = ticked();
  const all = (desk.palette?.colours ?? []).filter((colour) => isOwned(colour.code, ticks));
  const parts = (/** @type {Colour} */ { hex }) => [0, 2, 4].map((at) => parseInt(hex.slice(at, at + 2), 16));
  const places = all.map(parts);
  /** How near the nearest colour on the mat is to each; one that is there is at 0. */
  const near = new Array(all.length).fill(Infinity);
  const put = (/** @type {number[]} */ part) => {
    places.forEach((own, nth) => {
      near[nth] = Math.min(near[nth], (own[0] - part[0]) ** 2 + (own[1] - part[1]) ** 2 + (own[2] - part[2]) ** 2);
    });
  };
  const there = new Set(chart().colours.map((colour) => colour.code));
  for (const colour of chart().colours) put(parts(colour));
  desk.spare = [];
  while (desk.spare.length < Math.min(7, all.length - 1)) {
    let next = -1;
    near.forEach((off, nth) => {
      if (!there.has(all[nth].code) && (next < 0 || off > near[next])) next = nth;
    });
    if (next < 0) return;
    there.add(all[next].code);
    put(places[next]);
    desk.spare.push(all[next]);
  }
}

/** The colours on the mat that the chart does not have. @param {Chart} now @returns {Stocked[]} */
export function others(now) {
  const all = [...desk.out, ...(now.colours.length <= FEW ? desk.spare.slice(0, 8 - now.colours.length) : [])];
  return all.filter((colour, nth) => !now.colours.some((other) => other.code === colour.code) && all.findIndex((other) => other.code === colour.code) === nth);
}

function ownedKey() {
  return `owned in ${desk.palette?.name ?? ""}`;
}

/** What she ticked, by code. @returns {Record<string, unknown>} */
export function ticked() {
  return keeping.remembered(ownedKey()) ?? unkept;
}

/** @param {string} code @param {Record<string, unknown>} [ticks] where many are asked for */
export function isOwned(code, ticks = ticked()) {
  if (code in ticks) return ticks[code] === true;
  // What the palette says: nothing stated means enough, no grams means none.
  const stocked = desk.palette?.colours.find((colour) => colour.code === code);
  return stocked !== undefined && stocked.grams !== 0;
}

/** Ticks where the browser refuses to store. @type {Record<string, boolean>} */
let unkept = {};

/** A calm ground for a plain band: dark but not black, else the first. @param {Stocked[]} colours */
export function ground(colours) {
  const dark = colours.filter((colour) => isOwned(colour.code) && luminance(colour.hex) > 0.02 && luminance(colour.hex) < 0.12);
  return dark[0] ?? colours[0];
}

/** Ticks a colour as owned, or takes the tick away. @param {string} code */
export function tickOwned(code) {
  const owned = !isOwned(code);
  unkept = { ...(keeping.remembered(ownedKey()) ?? unkept), [code]: owned };
  keeping.remember(ownedKey(), unkept);
  return owned;
}
