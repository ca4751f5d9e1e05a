// The ring as worn, small, following the pointer: the chart laid round a cylinder and projected
// onto a canvas.

import { tinted } from "./bead-drawing.js";
import { capturePointer } from "./dom.js";
import * as lattice from "./lattice.js";

/** @typedef {import("./chart.js").Chart} Chart */
/** @typedef {{x: number, y: number}} Point */
/** @typedef {{x: number, y: number, z: number}} Point3 x to the right, y up, z towards the eye */
/**
 * @typedef {object} Face a polygon of the ring
 * @property {Point3[]} points
 * @property {string} fill
 * @property {string} edge
 * @property {string} highlight
 * @property {number} depth
 */
/**
 * @typedef {{bead: number, row: number, from: number, to: number, reach: number}} Piece What is
 *   drawn as one bead: columns `from` and `to`, the row of the middle, and how many half rows it
 *   reaches up and down.
 */
/** @typedef {{chart: Chart, radius: number, share: number}} Band `share` of the circle is closed */

/** A band with more beads is drawn in larger pieces, and only once it has stopped changing. */
const MAX_PIECES = 4000;
/** An open band is shown as a cuff, with this share of the circle closed. */
const CUFF = 0.84;
/** The eye's distance in outer radii. */
const EYE_DISTANCE = 7;
/** How far the finger swings to either side, in radians. */
const MAX_YAW = 1.35;

/** The roll and yaw of each arrow key, in radians. @type {Record<string, [number, number]>} */
const ARROWS = {
  ArrowUp: [0.15, 0],
  ArrowDown: [-0.15, 0],
  ArrowLeft: [0, -0.12],
  ArrowRight: [0, 0.12],
};

export class RingView {
  /**
   * @param {HTMLCanvasElement} canvas
   * @param {{isStill?: boolean}} [options] a still ring does not follow the pointer
   */
  constructor(canvas, { isStill = false } = {}) {
    this.canvas = canvas;
    /** @type {Chart | null} */
    this.chart = null;
    this.roll = 0;
    this.yaw = 0.5;
    this.tilt = 0.34;
    /** The requested animation frame, or 0. */
    this.frame = 0;
    /** Where the pointer holds the ring. @type {Point | null} */
    this.held = null;
    if (!isStill) this.listen();
    new ResizeObserver(() => this.redraw()).observe(canvas);
  }

  listen() {
    const { canvas } = this;
    canvas.addEventListener("pointerdown", (event) => {
      this.held = { x: event.clientX, y: event.clientY };
      capturePointer(canvas, event);
    });
    canvas.addEventListener("pointermove", (event) => {
      if (!this.held) return;
      // The bead under the pointer follows it: up and down roll the ring, sideways swings the
      // finger.
      const across = event.clientX - this.held.x;
      const down = event.clientY - this.held.y;
      this.held = { x: event.clientX, y: event.clientY };
      this.rotate(-down / (canvas.clientHeight * 0.36), across / (canvas.clientWidth * 0.5));
    });
    for (const name of ["pointerup", "pointercancel"]) {
      canvas.addEventListener(name, () => {
        this.held = null;
      });
    }
    canvas.addEventListener("keydown", (event) => {
      const arrow = ARROWS[event.key];
      if (!arrow) return;
      event.preventDefault();
      this.rotate(...arrow);
    });
  }

  /** @param {Chart} chart */
  show(chart) {
    // At first the middle of the band faces the eye, where a motif lies.
    if (!this.chart) this.roll = 0.3;
    this.chart = chart;
    this.redraw();
  }

  /**
   * @param {number} roll in radians
   * @param {number} yaw in radians
   */
  rotate(roll, yaw) {
    this.roll += roll;
    this.yaw = Math.max(-MAX_YAW, Math.min(MAX_YAW, this.yaw + yaw));
    this.redraw();
  }

  /** Draws before the next frame, once. */
  redraw() {
    if (this.frame) return;
    this.frame = requestAnimationFrame(() => {
      this.frame = 0;
      this.draw();
    });
  }

  draw() {
    const { chart, canvas } = this;
    const context = canvas.getContext("2d");
    if (!chart || !context || !canvas.clientWidth) return;
    const ratio = window.devicePixelRatio || 1;
    const width = Math.round(canvas.clientWidth * ratio);
    const height = Math.round(canvas.clientHeight * ratio);
    if (canvas.width !== width || canvas.height !== height)
      Object.assign(canvas, { width, height });
    context.clearRect(0, 0, width, height);
    const { diameter_mm, length_mm } = chart.bead;
    const around = (chart.rows * diameter_mm) / 2;
    const share = chart.closed ? 1 : CUFF;
    const radius = around / share / (2 * Math.PI) + diameter_mm / 2;
    const broad = chart.columns * length_mm;
    // It stays inside the canvas however it is rotated.
    const size =
      0.47 *
      Math.min(
        width / Math.hypot(radius, broad / 2),
        (height * 0.9) / (radius * 1.1 + broad * 0.12),
      );
    const middle = { x: width / 2, y: height * 0.48 };
    const shadow = { radius: size * radius, width: size * (broad / 2 + radius * 0.55) };
    drawShadow(context, middle, shadow);
    const distance = EYE_DISTANCE * radius;
    for (const face of this.faces({ chart, radius, share })) {
      const points = face.points.map((point) => {
        const near = distance / (distance - point.z);
        return { x: middle.x + point.x * near * size, y: middle.y - point.y * near * size };
      });
      drawFace(context, face, { points, size, bead: size * diameter_mm });
    }
  }

  /**
   * The beads as faces, the farthest first.
   * @param {Band} band
   */
  faces(band) {
    const faces = [];
    for (const piece of pieces(band.chart)) faces.push(...this.facesOf(band, piece));
    return faces.sort((one, other) => one.depth - other.depth);
  }

  /**
   * The face of a bead, and the cut end that closes the wall of the ring at an edge.
   * @param {Band} band
   * @param {Piece} piece
   * @returns {Face[]}
   */
  facesOf({ chart, radius, share }, { bead, row, from, to, reach }) {
    const { length_mm: length, diameter_mm: diameter } = chart.bead;
    const half = (Math.PI * 2 * share) / chart.rows;
    const middle = (chart.columns * length) / 2;
    const angle = row * half + this.roll;
    const left = from * length - middle + length * 0.03;
    const right = to * length - middle - length * 0.03;
    const tall = half * reach;
    const colour = chart.colours[chart.beads[bead]];
    const normal = this.project({ x: 0, y: -Math.sin(angle), z: -Math.cos(angle) });
    const isOutside = normal.z > -0.14;
    const at = (/** @type {number} */ x, /** @type {number} */ off, /** @type {number} */ far) =>
      this.project({ x, y: -Math.sin(angle + off) * far, z: -Math.cos(angle + off) * far });
    // At the back the inner side of the beads shows, one bead nearer to the finger.
    const far = isOutside ? radius : radius - diameter;
    const points = [
      at(left, tall * 0.94, far),
      at(right, tall * 0.94, far),
      at(right, -tall * 0.94, far),
      at(left, -tall * 0.94, far),
    ];
    const depth = points[0].z + points[2].z;
    const isSmall = chart.beads.length <= MAX_PIECES;
    /** @type {Face[]} */
    const faces = [{ points, depth, ...shade(colour, normal, { isOutside, isSmall }) }];
    const ends = [...(from < 2 ? [left] : []), ...(to > chart.columns - 2 ? [right] : [])];
    for (const x of ends) {
      const end = [
        at(x, tall, radius),
        at(x, -tall, radius),
        at(x, -tall, radius - diameter),
        at(x, tall, radius - diameter),
      ];
      const isNear = Math.sign(x) === Math.sign(-Math.sin(this.yaw));
      faces.push({
        points: end,
        fill: tinted(colour.hex, -0.3),
        edge: tinted(colour.hex, -0.5),
        highlight: "",
        depth: end[0].z + end[2].z + (isNear ? 0.5 : -0.5),
      });
    }
    return faces;
  }

  /**
   * A point of the ring as the eye sees it.
   * @param {Point3} point
   * @returns {Point3}
   */
  project({ x, y, z }) {
    const sin = Math.sin(this.yaw);
    const cos = Math.cos(this.yaw);
    const yawed = { x: x * cos + z * sin, y, z: -x * sin + z * cos };
    const up = Math.sin(this.tilt);
    const along = Math.cos(this.tilt);
    return {
      x: yawed.x,
      y: yawed.y * along - yawed.z * up,
      z: yawed.y * up + yawed.z * along,
    };
  }
}

/**
 * The colours of a bead's face: light from above the left shoulder, modelled by eye, no source.
 * @param {import("./chart.js").Colour} colour
 * @param {Point3} normal
 * @param {{isOutside: boolean, isSmall: boolean}} how beads of a large band have no edges
 */
function shade(colour, normal, { isOutside, isSmall }) {
  const light = Math.max(0, normal.z * 0.62 + normal.y * 0.6 - normal.x * 0.3);
  const fill = tinted(colour.hex, isOutside ? -0.42 + light * 0.52 : -0.5);
  const edge = tinted(colour.hex, isOutside ? -0.62 + light * 0.25 : -0.66);
  if (!isSmall) return { fill, edge: fill, highlight: "" };
  const strength = colour.finish === "matte" ? 0.08 : colour.finish === "metallic" ? 0.5 : 0.3;
  const isLit = isOutside && light > 0.3;
  const highlight = isLit ? `rgba(255,255,255,${((light - 0.3) * strength).toFixed(3)})` : "";
  return { fill, edge, highlight };
}

/**
 * @param {CanvasRenderingContext2D} context
 * @param {Face} face
 * @param {{points: Point[], size: number, bead: number}} at pixels to the millimetre and to the
 *   bead
 */
function drawFace(context, face, { points, size, bead }) {
  context.beginPath();
  context.moveTo(points[0].x, points[0].y);
  for (const point of points.slice(1)) context.lineTo(point.x, point.y);
  context.closePath();
  context.fillStyle = face.fill;
  context.fill();
  context.lineWidth = Math.max(0.7, size * 0.1);
  context.strokeStyle = face.edge;
  context.stroke();
  if (!face.highlight) return;
  context.beginPath();
  context.moveTo((points[0].x * 5 + points[3].x * 3) / 8, (points[0].y * 5 + points[3].y * 3) / 8);
  context.lineTo((points[1].x * 5 + points[2].x * 3) / 8, (points[1].y * 5 + points[2].y * 3) / 8);
  context.lineWidth = Math.max(0.6, bead * 0.13);
  context.strokeStyle = face.highlight;
  context.stroke();
}

/**
 * The soft shadow below the ring.
 * @param {CanvasRenderingContext2D} context
 * @param {Point} middle
 * @param {{radius: number, width: number}} shadow
 */
function drawShadow(context, middle, { radius, width }) {
  context.save();
  context.translate(middle.x, middle.y + radius * 1.04);
  context.scale(1, 0.2);
  const shade = context.createRadialGradient(0, 0, 0, 0, 0, width);
  shade.addColorStop(0, "rgba(30,22,10,0.34)");
  shade.addColorStop(1, "rgba(30,22,10,0)");
  context.fillStyle = shade;
  context.fillRect(-width, -width, 2 * width, 2 * width);
  context.restore();
}

/**
 * The pieces of a band that are drawn: each bead, or of a large band every few rows and columns a
 * bead as large as its neighbourhood.
 * @param {Chart} chart
 * @returns {Generator<Piece>}
 */
function* pieces(chart) {
  const stride = Math.ceil(Math.sqrt(chart.beads.length / MAX_PIECES));
  if (stride === 1) {
    for (let bead = 0; bead < chart.beads.length; bead++) {
      const { row, column } = lattice.place(chart, bead);
      yield { bead, row, from: column - 1, to: column, reach: 1 };
    }
    return;
  }
  for (let row = 1; row <= chart.rows; row += stride) {
    for (let column = 1; column <= chart.columns; column += stride) {
      const near = [column, column + 1, column - 1].map((each) => lattice.index(chart, row, each));
      const bead = near.find((each) => each >= 0);
      if (bead === undefined) continue;
      const to = Math.min(chart.columns, column - 1 + stride);
      const middle = row + (stride - 1) / 2;
      yield { bead, row: middle, from: column - 1, to, reach: stride / 2 };
    }
  }
}
