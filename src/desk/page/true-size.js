// The band at true size: how many pixels of the screen a millimetre has. The user calibrates the
// screen once with a bank card.

import { beadSprite } from "./bead-drawing.js";
import * as lattice from "./lattice.js";
import { readSetting, writeSetting } from "./storage.js";

/** @typedef {import("./chart.js").Chart} Chart */

/** Width and height of a bank card in millimetres: ISO/IEC 7810:2019, size ID-1. */
export const CARD = { width: 85.6, height: 53.98 };
/** An inch in millimetres. */
export const INCH = 25.4;
/** Pixels per millimetre of an uncalibrated screen: CSS Values 4 has 96 pixels to an inch. */
const DEFAULT_SCALE = 96 / INCH;
/** The name under which the scale is stored. */
const SETTING = "pixels a millimetre";
/** Up to so many beads, the band is drawn twice as fine as the screen. */
const FINE_BEADS = 6000;
/** Most sprites that are kept; beyond that they are made again. */
const MAX_SPRITES = 1000;
/** Room beside the ring, in CSS pixels. */
const ROOM_BESIDE = 86;

/** What is drawn now, so that only the beads that differ are drawn again. */
const drawn = {
  /** @type {Chart | null} */
  chart: null,
  /** Pixels per millimetre. */
  unit: 0,
};
/** Beads by colour and size, which varies by a pixel. @type {Map<string, OffscreenCanvas>} */
const sprites = new Map();

/** CSS pixels per millimetre of this screen, and whether the screen has been calibrated. */
export function screenScale() {
  const stored = readSetting(SETTING);
  const isKnown = typeof stored === "number" && stored > 1 && stored < 30;
  return { pixels: isKnown ? stored : DEFAULT_SCALE, isCalibrated: isKnown };
}

/**
 * Stores the screen's scale.
 * @param {number} cardWidth the width of a bank card in CSS pixels
 */
export function calibrate(cardWidth) {
  writeSetting(SETTING, cardWidth / CARD.width);
}

/**
 * Draws the band at true size.
 * @param {HTMLCanvasElement} canvas
 * @param {Chart} chart
 */
export function drawTrueSize(canvas, chart) {
  const context = canvas.getContext("2d");
  if (!context) return;
  const fineness = chart.beads.length > FINE_BEADS ? 1 : 2;
  const ratio = fineness * (window.devicePixelRatio || 1);
  const unit = screenScale().pixels * ratio;
  const before = drawn.unit === unit && drawn.chart && isSameBand(drawn.chart, chart);
  const old = before ? drawn.chart : null;
  if (!before) resize(canvas, chart, { unit, ratio });
  if (drawn.unit !== unit || sprites.size > MAX_SPRITES) sprites.clear();
  Object.assign(drawn, { chart, unit });
  for (let bead = 0; bead < chart.beads.length; bead++) {
    const colour = chart.colours[chart.beads[bead]];
    if (old && old.colours[old.beads[bead]] === colour) continue;
    const { x, y, width, height } = beadBounds(chart, bead, unit);
    context.clearRect(x, y, width, height);
    context.drawImage(spriteOf(colour, width, height), x, y);
  }
}

/**
 * Draws a small picture of a band, once.
 * @param {HTMLCanvasElement} canvas
 * @param {Chart} chart
 * @param {{width: number, height: number}} room in CSS pixels
 */
export function drawSmallBand(canvas, chart, room) {
  const context = canvas.getContext("2d");
  if (!context) return;
  const ratio = window.devicePixelRatio || 1;
  const { width, height } = lattice.extent(chart);
  const wide = width * chart.bead.length_mm;
  const high = (height * chart.bead.diameter_mm) / 2;
  const unit = ratio * Math.min(room.width / wide, room.height / high);
  resize(canvas, chart, { unit, ratio });
  if (sprites.size > MAX_SPRITES) sprites.clear();
  for (let bead = 0; bead < chart.beads.length; bead++) {
    const { x, y, width, height } = beadBounds(chart, bead, unit);
    if (width < 1 || height < 1) continue;
    context.drawImage(spriteOf(chart.colours[chart.beads[bead]], width, height), x, y);
  }
}

/**
 * @param {HTMLCanvasElement} canvas
 * @param {Chart} chart
 * @param {{unit: number, ratio: number}} scale
 */
function resize(canvas, chart, { unit, ratio }) {
  const { width, height } = lattice.extent(chart);
  canvas.width = Math.ceil(width * chart.bead.length_mm * unit);
  canvas.height = Math.ceil((height * chart.bead.diameter_mm * unit) / 2);
  canvas.style.width = `${canvas.width / ratio}px`;
  canvas.style.height = `${canvas.height / ratio}px`;
}

/**
 * A bead's rectangle in whole pixels.
 * @param {Chart} chart
 * @param {number} bead
 * @param {number} unit pixels per millimetre
 */
function beadBounds(chart, bead, unit) {
  const length = chart.bead.length_mm * unit;
  const half = (chart.bead.diameter_mm / 2) * unit;
  const top = lattice.extent(chart).height;
  const at = lattice.corner(lattice.place(chart, bead));
  const x = Math.round(at.x * length);
  const y = Math.round((top - at.y - 2) * half);
  const right = Math.round((at.x + 1) * length);
  const bottom = Math.round((top - at.y) * half);
  return { x, y, width: right - x, height: bottom - y };
}

/**
 * @param {import("./chart.js").Colour} colour
 * @param {number} width
 * @param {number} height
 */
function spriteOf(colour, width, height) {
  const key = `${colour.hex} ${colour.finish ?? ""} ${width} ${height}`;
  let sprite = sprites.get(key);
  if (!sprite) {
    sprite = beadSprite(width, height, colour);
    sprites.set(key, sprite);
  }
  return sprite;
}

/**
 * Whether two bands have the same size, bead for bead.
 * @param {Chart} one
 * @param {Chart} other
 */
function isSameBand(one, other) {
  return (
    one.columns === other.columns &&
    one.rows === other.rows &&
    one.bead.length_mm === other.bead.length_mm &&
    one.bead.diameter_mm === other.bead.diameter_mm
  );
}

/**
 * Lays out the preview: a band that is wider than the room beside the ring goes below it.
 * @param {HTMLElement} shown the band or its picture
 */
export function layOutPreview(shown) {
  const isWide = parseFloat(shown.style.width) > ROOM_BESIDE;
  shown.closest(".ring-preview")?.classList.toggle("wide", isWide);
}
