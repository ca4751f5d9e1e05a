// A band drawn small and flat, lying on its side: row 1 on the left, column 1 at the top.

import { tinted } from "./bead-drawing.js";
import * as lattice from "./lattice.js";

/** @typedef {import("./chart.js").Chart} Chart */

/** Beads with fewer pixels across than this are drawn without their shaded edge. */
const SHADED = 3;
/** The shaded edge of a bead, as a share of its diameter, and how dark it is. */
const EDGE = { share: 0.22, dark: -0.22 };

/**
 * Draws a band into the width that a canvas has on the page; its height follows.
 * @param {HTMLCanvasElement} canvas
 * @param {Chart} chart
 * @param {{width: number, height: number}} room in CSS pixels, the band is inside
 */
export function drawStrip(canvas, chart, room) {
  const context = canvas.getContext("2d");
  if (!context) return;
  const { length_mm, diameter_mm } = chart.bead;
  const extent = lattice.extent(chart);
  const along = (extent.height * diameter_mm) / 2;
  const across = extent.width * length_mm;
  const ratio = window.devicePixelRatio || 1;
  const unit = Math.min(room.width / along, room.height / across) * ratio;
  canvas.width = Math.max(1, Math.round(along * unit));
  canvas.height = Math.max(1, Math.round(across * unit));
  canvas.style.width = `${canvas.width / ratio}px`;
  canvas.style.height = `${canvas.height / ratio}px`;
  const size = { long: length_mm * unit, thick: diameter_mm * unit };
  for (let bead = 0; bead < chart.beads.length; bead++) {
    drawBead(context, chart, { bead, size });
  }
}

/**
 * @param {CanvasRenderingContext2D} context
 * @param {Chart} chart
 * @param {{bead: number, size: {long: number, thick: number}}} which in pixels
 */
function drawBead(context, chart, { bead, size: { long, thick } }) {
  const { row, column } = lattice.place(chart, bead);
  const { hex } = chart.colours[chart.beads[bead]];
  const left = Math.round(((row - 1) * thick) / 2);
  const right = Math.round(((row + 1) * thick) / 2);
  const top = Math.round((column - 1) * long);
  const bottom = Math.round(column * long);
  context.fillStyle = `#${hex}`;
  context.fillRect(left, top, right - left, bottom - top);
  if (thick < SHADED) return;
  const edge = Math.max(1, Math.round(thick * EDGE.share));
  context.fillStyle = tinted(hex, EDGE.dark);
  context.fillRect(right - edge, top, edge, bottom - top);
}
