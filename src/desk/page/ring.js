// The ring as worn, small, turning under the pointer: the chart laid round a cylinder and projected onto a canvas.

import * as lattice from "./lattice.js";
import { tinted } from "./beads.js";

/** @typedef {import('./chart.js').Chart} Chart */
/** @typedef {{x: number, y: number, z: number}} Point */

/** Of more beads than this only some are drawn, as larger patches, and only once the hand rests. */
const MANY = 4000;
/** An open band is shown as a cuff, with this share of the circle closed. */
const CUFF = 0.84;
/** The eye's distance in outer radii. */
const FAR = 7;

export class Ring {
  /** @param {HTMLCanvasElement} canvas */
  constructor(canvas) {
    this.canvas = canvas;
    /** @type {Chart | null} */
    this.chart = null;
    this.spin = 0;
    this.yaw = 0.5;
    this.tilt = 0.34;
    this.waiting = 0;
    /** @type {{x: number, y: number} | null} */
    this.held = null;
    canvas.addEventListener("pointerdown", (event) => {
      this.held = { x: event.clientX, y: event.clientY };
      try {
        canvas.setPointerCapture(event.pointerId);
      } catch {
        /* a pointer made by a program */
      }
    });
    canvas.addEventListener("pointermove", (event) => {
      if (!this.held) return;
      // The bead under the pointer goes with it: up and down turn the ring round the finger, sideways turns the finger.
      const across = event.clientX - this.held.x;
      const down = event.clientY - this.held.y;
      this.held = { x: event.clientX, y: event.clientY };
      this.turn(-down / (canvas.clientHeight * 0.36), across / (canvas.clientWidth * 0.5));
    });
    for (const name of ["pointerup", "pointercancel"])
      canvas.addEventListener(name, () => {
        this.held = null;
      });
    canvas.addEventListener("keydown", (event) => {
      const turns = /** @type {Record<string, [number, number]>} */ ({
        ArrowUp: [0.15, 0],
        ArrowDown: [-0.15, 0],
        ArrowLeft: [0, -0.12],
        ArrowRight: [0, 0.12],
      })[event.key];
      if (!turns) return;
      event.preventDefault();
      this.turn(...turns);
    });
    new ResizeObserver(() => this.soon()).observe(canvas);
  }

  /** @param {Chart} chart */
  show(chart) {
    // At first the middle of the band, where a motif lies, is seen.
    if (!this.chart) this.spin = 0.3;
    this.chart = chart;
    this.soon();
  }

  /** @param {number} round @param {number} side */
  turn(round, side) {
    this.spin += round;
    this.yaw = Math.max(-1.35, Math.min(1.35, this.yaw + side));
    this.soon();
  }

  soon() {
    if (this.waiting) return;
    this.waiting = requestAnimationFrame(() => {
      this.waiting = 0;
      this.draw();
    });
  }

  draw() {
    const { chart, canvas } = this;
    const on = canvas.getContext("2d");
    if (!chart || !on || !canvas.clientWidth) return;
    const ratio = window.devicePixelRatio || 1;
    const width = Math.round(canvas.clientWidth * ratio);
    const height = Math.round(canvas.clientHeight * ratio);
    if (canvas.width !== width || canvas.height !== height) Object.assign(canvas, { width, height });
    on.clearRect(0, 0, width, height);
    const around = (chart.rows * chart.bead.diameter_mm) / 2;
    const share = chart.closed ? 1 : CUFF;
    const radius = around / share / (2 * Math.PI) + chart.bead.diameter_mm / 2;
    const broad = chart.columns * chart.bead.length_mm;
    // Whatever way it turns, it stays inside.
    const size = 0.47 * Math.min(width / Math.hypot(radius, broad / 2), (height * 0.9) / (radius * 1.1 + broad * 0.12));
    const middle = { x: width / 2, y: height * 0.48 };
    this.shade(on, middle, size * radius, size * (broad / 2 + radius * 0.55));
    for (const face of this.faces(chart, radius, share)) {
      const points = face.points.map((point) => {
        const near = (FAR * radius) / (FAR * radius - point.z);
        return { x: middle.x + point.x * near * size, y: middle.y - point.y * near * size };
      });
      on.beginPath();
      points.forEach((point, nth) => (nth ? on.lineTo(point.x, point.y) : on.moveTo(point.x, point.y)));
      on.closePath();
      on.fillStyle = face.fill;
      on.fill();
      on.lineWidth = Math.max(0.7, size * 0.1);
      on.strokeStyle = face.edge;
      on.stroke();
      if (face.gleam) {
        on.beginPath();
        on.moveTo((points[0].x * 5 + points[3].x * 3) / 8, (points[0].y * 5 + points[3].y * 3) / 8);
        on.lineTo((points[1].x * 5 + points[2].x * 3) / 8, (points[1].y * 5 + points[2].y * 3) / 8);
        on.lineWidth = Math.max(0.6, size * chart.bead.diameter_mm * 0.13);
        on.strokeStyle = face.gleam;
        on.stroke();
      }
    }
  }

  /** @param {CanvasRenderingContext2D} on @param {Point | {x: number, y: number}} middle @param {number} radius @param {number} broad */
  shade(on, middle, radius, broad) {
    on.save();
    on.translate(middle.x, middle.y + radius * 1.04);
    on.scale(1, 0.2);
    const shade = on.createRadialGradient(0, 0, 0, 0, 0, broad);
    shade.addColorStop(0, "rgba(30,22,10,0.34)");
    shade.addColorStop(1, "rgba(30,22,10,0)");
    on.fillStyle = shade;
    on.fillRect(-broad, -broad, 2 * broad, 2 * broad);
    on.restore();
  }

  /** The beads as faces, the farthest first. @param {Chart} chart @param {number} radius @param {number} share */
  faces(chart, radius, share) {
    const { length_mm: long, diameter_mm: across } = chart.bead;
    const half = (Math.PI * 2 * share) / chart.rows;
    const middle = (chart.columns * long) / 2;
    const many = chart.beads.length > MANY;
    const faces = [];
    for (const { bead, row, from, to, reachUp } of pieces(chart)) {
      const angle = row * half + this.spin;
      const left = from * long - middle + long * 0.03;
      const right = to * long - middle - long * 0.03;
      const tall = half * reachUp;
      const way = this.seen({ x: 0, y: -Math.sin(angle), z: -Math.cos(angle) });
      const outside = way.z > -0.14;
      // Behind, the inner side of the beads is seen, one bead nearer to the finger.
      const reach = outside ? radius : radius - across;
      const points = [
        [left, tall * 0.94],
        [right, tall * 0.94],
        [right, -tall * 0.94],
        [left, -tall * 0.94],
      ].map(([x, turn]) => this.seen({ x, y: -Math.sin(angle + turn) * reach, z: -Math.cos(angle + turn) * reach }));
      const colour = chart.colours[chart.beads[bead]];
      // Light from above the left shoulder; modelled by eye.
      const light = Math.max(0, way.z * 0.62 + way.y * 0.6 - way.x * 0.3);
      const fill = tinted(colour.hex, outside ? -0.42 + light * 0.52 : -0.5);
      const strength = colour.finish === "matte" ? 0.08 : colour.finish === "metallic" ? 0.5 : 0.3;
      const gleam = !many && outside && light > 0.3 ? `rgba(255,255,255,${((light - 0.3) * strength).toFixed(3)})` : "";
      const edge = many ? fill : tinted(colour.hex, outside ? -0.62 + light * 0.25 : -0.66);
      faces.push({ points, fill, edge, gleam, depth: points[0].z + points[2].z });
      // At the edges the cut ends close the wall of the ring.
      for (const x of [...(from < 2 ? [left] : []), ...(to > chart.columns - 2 ? [right] : [])]) {
        const end = [
          [tall, radius],
          [-tall, radius],
          [-tall, radius - across],
          [tall, radius - across],
        ].map(([turn, far]) => this.seen({ x, y: -Math.sin(angle + turn) * far, z: -Math.cos(angle + turn) * far }));
        faces.push({
          points: end,
          fill: tinted(colour.hex, -0.3),
          edge: tinted(colour.hex, -0.5),
          gleam: "",
          depth: end[0].z + end[2].z + (Math.sign(x) === Math.sign(-Math.sin(this.yaw)) ? 0.5 : -0.5),
        });
      }
    }
    return faces.sort((one, other) => one.depth - other.depth);
  }

  /** A point of the ring as the eye sees it: x to the right, y up, z towards the eye. @param {Point} point @returns {Point} */
  seen({ x, y, z }) {
    const sin = Math.sin(this.yaw);
    const cos = Math.cos(this.yaw);
    const turned = { x: x * cos + z * sin, y, z: -x * sin + z * cos };
    const up = Math.sin(this.tilt);
    const along = Math.cos(this.tilt);
    return { x: turned.x, y: turned.y * along - turned.z * up, z: turned.y * up + turned.z * along };
  }
}

/** What is drawn of a band: each bead, or of a large one every few rows and columns a bead as large as its neighbourhood. Columns from and to,
 * the middle's row, and how many half rows it reaches up and down. @param {Chart} chart */
function* pieces(chart) {
  const stride = Math.ceil(Math.sqrt(chart.beads.length / MANY));
  if (stride === 1) {
    for (let bead = 0; bead < chart.beads.length; bead++) {
      const { row, column } = lattice.place(chart, bead);
      yield { bead, row, from: column - 1, to: column, reachUp: 1 };
    }
    return;
  }
  for (let row = 1; row <= chart.rows; row += stride) {
    for (let column = 1; column <= chart.columns; column += stride) {
      const near = [column, column + 1, column - 1].map((each) => lattice.index(chart, row, each)).find((bead) => bead >= 0);
      const to = Math.min(chart.columns, column - 1 + stride);
      if (near !== undefined) yield { bead: near, row: row + (stride - 1) / 2, from: column - 1, to, reachUp: stride / 2 };
    }
  }
}
