// What is drawn over the beads: row numbers, mirror lines, previews, selections, markers, the
// cursor.

import * as lattice from "./lattice.js";

/** @typedef {import("./chart.js").Chart} Chart @typedef {import("./chart.js").Colour} Colour */
/** @typedef {{x: number, y: number}} Point */
/**
 * @typedef {object} Overlay beads by their numbers, -1 for none
 * @property {number} cursor the bead that keys act on
 * @property {number} hover the bead under the pointer
 * @property {number} anchor where a line or a motif was started by key
 * @property {Set<number>} highlighted the beads of the selected problem
 * @property {Set<number>} marked the beads of all problems
 * @property {boolean} showMarkers
 * @property {Map<number, Colour>} preview beads as they would become
 * @property {lattice.Box | null} box the selected motif
 * @property {lattice.Axis[]} axes of the mirrors that draw
 */
/**
 * @typedef {object} Surface the canvas that is drawn on
 * @property {CanvasRenderingContext2D} context
 * @property {HTMLElement} viewport
 * @property {Overlay} overlay
 * @property {number} ratio device pixels to a CSS pixel
 * @property {number} half half a bead's height in device pixels
 * @property {number} beadWidth
 * @property {number} rowsBeyond
 * @property {(where: lattice.Place) => Point} cornerAt
 * @property {(bead: number) => Point} cornerOf
 * @property {(colour: Colour) => CanvasImageSource} sprite
 */
/**
 * @typedef {{chart: Chart, band: {width: number, height: number}, from: Point, to: Point}} Scene
 *   the chart, the band's size and the part of it in sight, in device pixels
 */
/** @typedef {Record<"faint" | "line" | "halo" | "accent" | "warning", string>} Colours */

/** @returns {Overlay} */
export function newOverlay() {
  return {
    cursor: 0,
    hover: -1,
    anchor: -1,
    highlighted: new Set(),
    marked: new Set(),
    showMarkers: true,
    preview: new Map(),
    box: null,
    axes: [],
  };
}

/**
 * Draws everything over the beads.
 * @param {Surface} surface
 * @param {Scene} scene
 */
export function drawOverlay(surface, scene) {
  const { overlay } = surface;
  const { chart } = scene;
  const colours = readColours(surface.viewport);
  const isThere = (/** @type {number} */ bead) => bead >= 0 && bead < chart.beads.length;
  const outline = (
    /** @type {number} */ bead,
    /** @type {{colour: string, width: number}} */ stroke,
  ) => {
    if (isThere(bead)) drawOutline(surface, bead, { ...stroke, halo: colours.halo });
  };
  const accent = colours.accent;
  drawPreview(surface, isThere);
  drawRowNumbers(surface, scene, colours);
  drawMirrorLines(surface, scene, colours);
  for (const bead of overlay.highlighted) outline(bead, { colour: colours.warning, width: 2 });
  if (overlay.showMarkers) {
    for (const bead of overlay.marked) if (isThere(bead)) drawMarker(surface, bead, colours);
  }
  if (overlay.box) drawBox(surface, { chart, box: overlay.box, colours });
  outline(overlay.anchor, { colour: accent, width: 2 });
  if (overlay.hover >= 0) {
    const beads = lattice.withMirrors(chart, [overlay.hover], overlay.axes);
    for (const bead of beads) outline(bead, { colour: accent, width: 1.5 });
  }
  const hasFocus = document.activeElement === surface.viewport;
  if (hasFocus) outline(overlay.cursor, { colour: accent, width: 2.5 });
}

/**
 * @param {HTMLElement} element
 * @returns {Colours}
 */
function readColours(element) {
  const style = getComputedStyle(element);
  return {
    faint: style.getPropertyValue("--text-faint"),
    line: style.getPropertyValue("--mirror-line"),
    halo: style.getPropertyValue("--halo"),
    accent: style.getPropertyValue("--accent"),
    warning: style.getPropertyValue("--warning"),
  };
}

/**
 * @param {Surface} surface
 * @param {(bead: number) => boolean} isThere
 */
function drawPreview(surface, isThere) {
  for (const [bead, colour] of surface.overlay.preview) {
    if (!isThere(bead)) continue;
    const { x, y } = surface.cornerOf(bead);
    surface.context.drawImage(surface.sprite(colour), x, y);
  }
}

/**
 * @param {Surface} surface
 * @param {Scene} scene
 * @param {Colours} colours
 */
function drawRowNumbers(surface, { chart, from, to }, colours) {
  const { context, ratio, half } = surface;
  const every = numberEvery(half / ratio);
  context.font = `${11 * ratio}px system-ui, sans-serif`;
  context.fillStyle = colours.faint;
  context.textBaseline = "middle";
  context.textAlign = "right";
  const { height } = lattice.extent(chart);
  const lower = height - to.y / half - 1;
  const { first, last } = lattice.rowsBetween(chart, lower, height - from.y / half);
  for (let row = first; row <= last; row++) {
    const isEnd = row === 1 || row === chart.rows;
    const isNearEnd = every > 1 && chart.rows - row < every / 2;
    if (!isEnd && (row % every || isNearEnd)) continue;
    const { y } = surface.cornerAt({ row, column: 1 });
    context.fillText(String(row), -10 * ratio, y + half);
  }
}

/**
 * Every how many rows a number has room.
 * @param {number} height of half a bead in CSS pixels
 */
function numberEvery(height) {
  if (height >= 14) return 1;
  if (height >= 7) return 5;
  if (height >= 3) return 10;
  return height >= 1.5 ? 20 : 50;
}

/**
 * @param {Surface} surface
 * @param {Scene} scene
 * @param {Colours} colours
 */
function drawMirrorLines({ context, overlay, ratio, half }, { chart, band }, colours) {
  if (!overlay.axes.length) return;
  const out = 16 * ratio;
  context.save();
  context.strokeStyle = colours.line;
  context.lineWidth = 1.5 * ratio;
  context.setLineDash([5 * ratio, 4 * ratio]);
  context.beginPath();
  for (const axis of overlay.axes) {
    if (axis === "columns") {
      const x = band.width / 2;
      context.moveTo(x, -out);
      context.lineTo(x, band.height + out);
      continue;
    }
    for (const row of lattice.axisRows(chart, axis)) {
      const y = band.height - row * half;
      context.moveTo(-out * 0.4, y);
      context.lineTo(band.width + out, y);
    }
  }
  context.stroke();
  context.restore();
}

/**
 * A dashed box around a motif; across the seam it shows at both ends.
 * @param {Surface} surface
 * @param {{chart: Chart, box: lattice.Box, colours: Colours}} selection
 */
function drawBox(surface, { chart, box, colours }) {
  const { context, ratio, half, beadWidth } = surface;
  const { width, height } = lattice.extent(chart);
  const beyond = surface.rowsBeyond * half;
  const edge = 4 * ratio;
  context.save();
  context.beginPath();
  context.rect(
    -edge,
    -beyond - edge,
    width * beadWidth + 2 * edge,
    height * half + 2 * beyond + 2 * edge,
  );
  context.clip();
  for (const back of box.top > chart.rows ? [0, chart.rows] : [0]) {
    const low = surface.cornerAt({ row: box.bottom - back, column: box.left });
    const high = surface.cornerAt({ row: box.top - back, column: box.right });
    const wide = high.x + beadWidth - low.x + 4;
    const tall = low.y + 2 * half - high.y + 4;
    context.lineWidth = 3 * ratio;
    context.strokeStyle = colours.halo;
    context.setLineDash([]);
    context.strokeRect(low.x - 2, high.y - 2, wide, tall);
    context.lineWidth = 1.5 * ratio;
    context.strokeStyle = colours.accent;
    context.setLineDash([6 * ratio, 4 * ratio]);
    context.strokeRect(low.x - 2, high.y - 2, wide, tall);
  }
  context.restore();
}

/**
 * @param {Surface} surface
 * @param {number} bead
 * @param {{colour: string, halo: string, width: number}} stroke
 */
function drawOutline(surface, bead, { colour, halo, width }) {
  const { context, ratio, half, beadWidth } = surface;
  const { x, y } = surface.cornerOf(bead);
  for (const line of [
    { colour: halo, width: width + 2 },
    { colour, width },
  ]) {
    context.beginPath();
    context.roundRect(x - 0.5, y - 0.5, beadWidth + 1, 2 * half + 1, half * 0.4);
    context.lineWidth = line.width * ratio;
    context.strokeStyle = line.colour;
    context.stroke();
  }
}

/**
 * A dot on a bead that a problem is about.
 * @param {Surface} surface
 * @param {number} bead
 * @param {Colours} colours
 */
function drawMarker(surface, bead, colours) {
  const { context, ratio, half, beadWidth } = surface;
  const { x, y } = surface.cornerOf(bead);
  context.beginPath();
  context.arc(x + beadWidth / 2, y + half, 2.4 * ratio, 0, Math.PI * 2);
  context.fillStyle = colours.warning;
  context.fill();
  context.lineWidth = ratio;
  context.strokeStyle = colours.halo;
  context.stroke();
}
