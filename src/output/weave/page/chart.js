// The chart beside the row: woven beads in full colour, the row in work outlined, the rest pale.

/** @import { Band, Work } from "./work.js" */
/** @import { Place } from "./place.js" */
import { colourHex } from "./work.js";
import { create } from "./parts.js";

/** The width of a bead in pixels: where the band is wider than its room, and at most. */
const BEAD_WIDTH = { cropped: 7, most: 26 };
/**
 * A band is shown from edge to edge if its beads are so many pixels wide, for the turns show there.
 */
const WHOLE_BEAD = 5;
/** Room for the outlines of the outermost beads. */
const EDGE = 3;
/** How much of a bead's colour shows before it is woven. */
const PALE = 0.2;
/** Room for row numbers, in pixels and as a share of the width. */
const GUTTER = { most: 26, share: 0.26 };

/** @typedef {{context: CanvasRenderingContext2D, colour: (name: string) => string}} Pen */
/**
 * @typedef {object} Layout where the band lies, in pixels
 * @property {number} left
 * @property {number} top
 * @property {number} scale pixels to a millimetre
 * @property {number} gutter
 * @property {number} room beside the gutter
 * @property {number} height
 */

export class ChartView {
  /** @param {Work} work */
  constructor(work) {
    this.work = work;
    /** The step of each bead; -1 for a bead of a row that is not in the work. */
    this.steps = new Int32Array(work.band.left.length).fill(-1);
    work.steps.forEach((step, at) => step.beads?.forEach((bead) => (this.steps[bead] = at)));
    this.canvas = create("canvas", {});
    this.element = create("div", { class: "follow-chart", "aria-hidden": "true" }, this.canvas);
    /** @type {Place} */
    this.place = { step: 0, bead: 0 };
    this.isCounting = false;
    this.redraw = () => this.draw();
    this.observer = new ResizeObserver(this.redraw);
    this.observer.observe(this.element);
    this.theme = window.matchMedia("(prefers-color-scheme: dark)");
    this.theme.addEventListener("change", this.redraw);
  }

  /**
   * @param {Place} place
   * @param {{isCounting: boolean}} options
   */
  show(place, { isCounting }) {
    this.place = place;
    this.isCounting = isCounting;
    this.draw();
  }

  stop() {
    this.observer.disconnect();
    this.theme.removeEventListener("change", this.redraw);
  }

  /** The beads of the step. */
  get beads() {
    return this.work.steps[this.place.step]?.beads ?? [];
  }

  draw() {
    const { canvas, element } = this;
    const { width, height } = element.getBoundingClientRect();
    const context = canvas.getContext("2d");
    if (!context || width < 1 || height < 1) return;
    const ratio = window.devicePixelRatio || 1;
    canvas.width = Math.round(width * ratio);
    canvas.height = Math.round(height * ratio);
    context.scale(ratio, ratio);
    const style = getComputedStyle(element);
    const layout = this.layout(width, height);
    const { gutter, room } = layout;
    /** @type {Pen} */
    const pen = { context, colour: (name) => style.getPropertyValue(name).trim() };
    context.font = `${Math.min(11, gutter * 0.46)}px ${style.fontFamily}`;
    context.textAlign = "right";
    context.textBaseline = "middle";
    this.drawRowNumbers(pen, layout);
    context.save();
    context.beginPath();
    context.rect(gutter - EDGE, 0, room + 2 * EDGE, height);
    context.clip();
    this.drawBeads(pen, layout);
    this.drawOutlines(pen, layout);
    context.restore();
  }

  /**
   * @param {number} width
   * @param {number} height
   * @returns {Layout}
   */
  layout(width, height) {
    const { band } = this.work;
    const [beadWidth = 1] = band.bead;
    const gutter = Math.min(GUTTER.most, width * GUTTER.share);
    const room = width - gutter - EDGE;
    const whole = room / band.width;
    const scale =
      whole * beadWidth >= WHOLE_BEAD
        ? Math.min(whole, BEAD_WIDTH.most / beadWidth)
        : BEAD_WIDTH.cropped / beadWidth;
    const focus = this.focus();
    const left = gutter + offset(focus.x * scale, { length: band.width * scale, room });
    const top = offset(focus.y * scale, { length: band.height * scale, room: height });
    return { left, top, scale, gutter, room, height };
  }

  /**
   * @param {Pen} pen
   * @param {Layout} layout
   */
  drawBeads({ context, colour }, { left, top, scale, height }) {
    const { band } = this.work;
    const [wide, high, corner] = beadSize(band, scale);
    const rim = colour("--rim");
    for (let bead = 0; bead < band.left.length; bead += 1) {
      const x = left + (band.left[bead] ?? 0) * scale;
      const y = top + (band.top[bead] ?? 0) * scale;
      if (y > height || y + high < 0) continue;
      const isWoven = (this.steps[bead] ?? -1) <= this.place.step;
      context.globalAlpha = isWoven ? 1 : PALE;
      context.fillStyle = `#${colourHex(this.work, band.colour[bead] ?? 0)}`;
      context.beginPath();
      context.roundRect(x, y, wide, high, corner);
      context.fill();
      context.globalAlpha = isWoven ? 0.7 : 0.45;
      context.lineWidth = 1;
      context.strokeStyle = rim;
      context.stroke();
    }
    context.globalAlpha = 1;
  }

  /**
   * Outlines the beads of the row; while counting, the next bead stands out.
   * @param {Pen} pen
   * @param {Layout} layout
   */
  drawOutlines({ context, colour }, { left, top, scale }) {
    const { band } = this.work;
    const [wide, high, corner] = beadSize(band, scale);
    context.strokeStyle = colour("--accent");
    this.beads.forEach((bead, nth) => {
      const isNext = this.isCounting && nth === this.place.bead;
      if (this.isCounting && nth > this.place.bead) context.setLineDash([2, 2]);
      const grow = isNext ? 2.5 : 1;
      context.lineWidth = isNext ? 3 : 2;
      const x = left + (band.left[bead] ?? 0) * scale - grow;
      const y = top + (band.top[bead] ?? 0) * scale - grow;
      context.beginPath();
      context.roundRect(x, y, wide + 2 * grow, high + 2 * grow, corner + grow);
      context.stroke();
      context.setLineDash([]);
    });
  }

  /**
   * The number of every tenth row, and of the row in work.
   * @param {Pen} pen
   * @param {Layout} layout
   */
  drawRowNumbers({ context, colour }, { top, scale, gutter, height }) {
    const { band } = this.work;
    const current = Math.max(...this.beads.map((bead) => band.row[bead] ?? 0), 0);
    const drawn = new Set();
    for (let bead = 0; bead < band.row.length; bead += 1) {
      const row = band.row[bead] ?? 0;
      if (drawn.has(row)) continue;
      drawn.add(row);
      const isNear = Math.abs(row - current) < 4;
      if (row !== current && (row % 10 !== 0 || isNear)) continue;
      const y = top + ((band.top[bead] ?? 0) + (band.bead[1] ?? 1) / 2) * scale;
      if (y < 4 || y > height - 4) continue;
      context.fillStyle = colour(row === current ? "--accent" : "--muted");
      context.fillText(String(row), gutter - 6, y);
    }
  }

  /** The bead that should be in the middle: of the row in work, or of the last row. */
  focus() {
    const { steps, band } = this.work;
    const { step, bead } = this.place;
    const before = steps.findLast((each, at) => at <= step && each.beads);
    const beads = before?.beads ?? [];
    const last = beads.length - 1;
    const at = beads[this.isCounting ? Math.min(bead, last) : Math.floor(beads.length / 2)] ?? 0;
    return { x: band.left[at] ?? 0, y: band.top[at] ?? 0 };
  }
}

/**
 * Width, height and corner of a bead in pixels.
 * @param {Band} band
 * @param {number} scale
 * @returns {[number, number, number]}
 */
function beadSize({ bead: [width = 1, height = 1, corner = 0] }, scale) {
  return [width * scale, height * scale, corner * scale];
}

/**
 * How far something is moved so that `at` is in the middle of the room, without a gap at its ends.
 * @param {number} at
 * @param {{length: number, room: number}} space
 */
function offset(at, { length, room }) {
  if (length <= room) return (room - length) / 2;
  return Math.min(0, Math.max(room - length, room / 2 - at));
}
