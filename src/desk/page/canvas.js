// The band on its canvas, row 1 at the bottom; only what is in sight is drawn. Beads are painted
// once into tiles: scrolling copies tiles, and a bead that changes is painted again alone.

import { beadSprite } from "./bead-drawing.js";
import * as lattice from "./lattice.js";
import { drawOverlay, newOverlay } from "./overlay.js";
import { listenToPointer } from "./pointer.js";

/** @typedef {import("./chart.js").Chart} Chart @typedef {import("./chart.js").Colour} Colour */
/** @typedef {import("./pointer.js").Handlers} Handlers */
/** @typedef {{canvas: OffscreenCanvas, context: OffscreenCanvasRenderingContext2D}} Tile */
/** @typedef {{x: number, y: number}} Point */

/** Width and height of a tile in device pixels, and how many are kept. */
const TILE = 256;
const MAX_TILES = 160;
/** Rows shown pale beyond both ends of a closed band, to show that it goes on there. */
const ROWS_BEYOND = 4;
/** Room beside the band for row numbers, and above and below it, in CSS pixels. */
const GUTTER = 46;
const MARGIN = 14;
/** Half a bead's height in device pixels. */
const ZOOM = { least: 1, most: 48, fitted: 20 };
/** Room left around a bead that is scrolled into view, in CSS pixels. */
const REVEAL_ROOM = 30;

export class BandCanvas {
  /**
   * @param {{viewport: HTMLElement, scrollArea: HTMLElement, canvas: HTMLCanvasElement}} elements
   *   the viewport scrolls; the scroll area is as large as the band
   * @param {Handlers} handlers
   */
  constructor({ viewport, scrollArea, canvas }, handlers) {
    this.viewport = viewport;
    this.scrollArea = scrollArea;
    this.canvas = canvas;
    this.context = /** @type {CanvasRenderingContext2D} */ (canvas.getContext("2d"));
    /** @type {Chart | null} */
    this.chart = null;
    /** Half a bead's height in device pixels. */
    this.half = 7;
    /** Whether the zoom follows the size of the viewport. */
    this.isFitted = true;
    /** @type {Map<string, Tile>} */
    this.tiles = new Map();
    /** @type {Map<string, OffscreenCanvas>} */
    this.sprites = new Map();
    this.overlay = newOverlay();
    /** The requested animation frame, or 0. */
    this.frame = 0;
    /** Beads painted and frames drawn so far, for the tests. */
    this.paintedBeads = 0;
    this.frames = 0;
    viewport.addEventListener("scroll", () => this.redraw(), { passive: true });
    viewport.addEventListener("focus", () => this.redraw());
    viewport.addEventListener("blur", () => this.redraw());
    listenToPointer(this, handlers);
    new ResizeObserver(() => this.onResize()).observe(viewport);
  }

  /**
   * Shows a chart.
   * @param {Chart} chart
   * @param {number[]} [changed] the beads that differ, where all else is the same
   */
  show(chart, changed) {
    const before = this.chart;
    this.chart = chart;
    const isSame =
      before !== null &&
      lattice.isSameShape(before, chart) &&
      before.bead.length_mm === chart.bead.length_mm &&
      before.bead.diameter_mm === chart.bead.diameter_mm;
    if (isSame && changed) changed.forEach((bead) => this.repaint(bead));
    else this.tiles.clear();
    if (!isSame && this.isFitted) this.fitZoom();
    else if (!isSame) this.layOut();
    this.redraw();
  }

  /** Device pixels to a CSS pixel. */
  get ratio() {
    return window.devicePixelRatio || 1;
  }

  /** A bead's width in whole device pixels, so that the lattice is crisp. */
  get beadWidth() {
    const { length_mm, diameter_mm } = this.chart?.bead ?? { length_mm: 1.3, diameter_mm: 1.6 };
    return Math.max(1, Math.round((2 * this.half * length_mm) / diameter_mm));
  }

  /** The rows shown beyond each end. */
  get rowsBeyond() {
    return this.chart?.closed ? ROWS_BEYOND : 0;
  }

  /** Where the band lies in the scroll area, and how large both are, in device pixels. */
  layout() {
    const { viewport, ratio } = this;
    const { width, height } = lattice.extent(/** @type {Chart} */ (this.chart));
    const band = { width: width * this.beadWidth, height: height * this.half };
    const across = Math.round(viewport.clientWidth * ratio);
    const down = Math.round(viewport.clientHeight * ratio);
    const gutter = Math.round(GUTTER * ratio);
    const margin = Math.round(MARGIN * ratio) + this.rowsBeyond * this.half;
    const area = {
      width: Math.max(across, band.width + 2 * gutter),
      height: Math.max(down, band.height + 2 * margin),
    };
    return {
      band,
      area,
      left: Math.round((area.width - band.width) / 2),
      top: Math.round((area.height - band.height) / 2),
      view: {
        left: Math.round(viewport.scrollLeft * ratio),
        top: Math.round(viewport.scrollTop * ratio),
        width: across,
        height: down,
      },
    };
  }

  /** Makes the scroll area as large as the band at this zoom, and the canvas as the viewport. */
  layOut() {
    if (!this.chart) return;
    const { canvas, viewport, ratio } = this;
    const { area, view } = this.layout();
    this.scrollArea.style.width = `${area.width / ratio}px`;
    this.scrollArea.style.height = `${area.height / ratio}px`;
    // Setting a canvas's size clears it, even if the size is the same.
    if (canvas.width !== view.width || canvas.height !== view.height) {
      Object.assign(canvas, { width: view.width, height: view.height });
    }
    canvas.style.width = `${viewport.clientWidth}px`;
    canvas.style.height = `${viewport.clientHeight}px`;
    this.redraw();
  }

  onResize() {
    if (!this.chart || !this.viewport.clientHeight) return;
    if (this.isFitted) this.fitZoom();
    else this.layOut();
  }

  /** Zooms so that the whole band is in sight. */
  fitZoom() {
    if (!this.chart) return;
    const { clientWidth, clientHeight } = this.viewport;
    const { width, height } = lattice.extent(this.chart);
    const { length_mm, diameter_mm } = this.chart.bead;
    const down = ((clientHeight - 2 * MARGIN) * this.ratio) / (height + 2 * this.rowsBeyond);
    const bead = ((clientWidth - 2 * GUTTER) * this.ratio) / width;
    const across = (bead * diameter_mm) / length_mm / 2;
    this.setZoom(Math.floor(Math.min(down, across, ZOOM.fitted * this.ratio)));
    this.isFitted = true;
  }

  /**
   * Zooms; what is in the middle of the viewport stays there.
   * @param {number} half half a bead's height in device pixels
   */
  setZoom(half) {
    if (!this.chart) return;
    const next = Math.max(ZOOM.least, Math.min(ZOOM.most, half));
    const before = this.layout();
    const x = (before.view.left + before.view.width / 2 - before.left) / before.band.width;
    const y = (before.view.top + before.view.height / 2 - before.top) / before.band.height;
    if (next !== this.half) {
      this.half = next;
      this.tiles.clear();
      this.sprites.clear();
    }
    this.isFitted = false;
    this.layOut();
    const after = this.layout();
    const left = after.left + x * after.band.width - after.view.width / 2;
    const top = after.top + y * after.band.height - after.view.height / 2;
    this.viewport.scrollLeft = left / this.ratio;
    this.viewport.scrollTop = top / this.ratio;
  }

  zoomIn() {
    this.setZoom(this.half + this.zoomStep);
  }

  zoomOut() {
    this.setZoom(this.half - this.zoomStep);
  }

  get zoomStep() {
    return Math.max(1, Math.round(this.half * 0.2));
  }

  /**
   * Scrolls so that a bead is in sight.
   * @param {number} bead
   */
  reveal(bead) {
    if (!this.chart || bead < 0) return;
    const { left, top, view } = this.layout();
    const corner = this.cornerOf(bead);
    const room = 2 * this.half + REVEAL_ROOM * this.ratio;
    const across = { from: left + corner.x, size: this.beadWidth };
    const down = { from: top + corner.y, size: 2 * this.half };
    const toX = scrolledTo(across, { from: view.left, size: view.width, room });
    const toY = scrolledTo(down, { from: view.top, size: view.height, room });
    this.viewport.scrollTo({ left: toX / this.ratio, top: toY / this.ratio });
    this.redraw();
  }

  /**
   * A bead's upper left corner on the band, in device pixels.
   * @param {number} bead
   */
  cornerOf(bead) {
    return this.cornerAt(lattice.place(/** @type {Chart} */ (this.chart), bead));
  }

  /**
   * The upper left corner of a place on the band, in device pixels.
   * @param {lattice.Place} where
   * @returns {Point}
   */
  cornerAt(where) {
    const { height } = lattice.extent(/** @type {Chart} */ (this.chart));
    const { x, y } = lattice.corner(where);
    return { x: x * this.beadWidth, y: (height - y - 2) * this.half };
  }

  /**
   * The bead at a place, or -1.
   * @param {lattice.Place | null} where
   */
  beadAt(where) {
    return this.chart && where ? lattice.beadAt(this.chart, where) : -1;
  }

  /**
   * The place under a pointer, rows beyond the ends of a closed band included; or null.
   * @param {{clientX: number, clientY: number}} pointer
   * @returns {lattice.Place | null}
   */
  placeUnder({ clientX, clientY }) {
    if (!this.chart) return null;
    const bounds = this.canvas.getBoundingClientRect();
    const { left, top, band, view } = this.layout();
    const x = (clientX - bounds.left) * this.ratio + view.left - left;
    const y = band.height - ((clientY - bounds.top) * this.ratio + view.top - top);
    const beyond = this.rowsBeyond * this.half;
    if (y < -beyond || y > band.height + beyond) return null;
    const where = lattice.placeAtPoint(x / this.beadWidth, y / this.half);
    return lattice.beadAt(this.chart, where) < 0 ? null : where;
  }

  /**
   * The centre of a bead in the window, in CSS pixels.
   * @param {number} bead
   * @returns {Point}
   */
  centreOf(bead) {
    const bounds = this.canvas.getBoundingClientRect();
    const { left, top, view } = this.layout();
    const corner = this.cornerOf(bead);
    const x = left + corner.x + this.beadWidth / 2 - view.left;
    const y = top + corner.y + this.half - view.top;
    return { x: bounds.left + x / this.ratio, y: bounds.top + y / this.ratio };
  }

  /**
   * The picture of a bead at this zoom.
   * @param {Colour} colour
   */
  sprite(colour) {
    const key = `${colour.hex} ${colour.finish ?? ""}`;
    let sprite = this.sprites.get(key);
    if (!sprite) {
      sprite = beadSprite(this.beadWidth, 2 * this.half, colour);
      this.sprites.set(key, sprite);
    }
    return sprite;
  }

  /**
   * Paints a bead again in the tiles that show it.
   * @param {number} bead
   */
  repaint(bead) {
    const chart = /** @type {Chart} */ (this.chart);
    const { x, y } = this.cornerOf(bead);
    const [width, height] = [this.beadWidth, 2 * this.half];
    const sprite = this.sprite(chart.colours[chart.beads[bead]]);
    for (const down of tilesBetween(y, y + height - 1)) {
      for (const across of tilesBetween(x, x + width - 1)) {
        const tile = this.tiles.get(`${across} ${down}`);
        if (!tile) continue;
        const [left, top] = [x - across * TILE, y - down * TILE];
        tile.context.clearRect(left, top, width, height);
        tile.context.drawImage(sprite, left, top);
        this.paintedBeads++;
      }
    }
  }

  /**
   * A tile with its beads.
   * @param {number} across
   * @param {number} down
   */
  tile(across, down) {
    const key = `${across} ${down}`;
    const known = this.tiles.get(key);
    if (known) return known;
    const tile = newTile();
    this.paintTile(tile, { left: across * TILE, top: down * TILE });
    if (this.tiles.size >= MAX_TILES) {
      this.tiles.delete(/** @type {string} */ (this.tiles.keys().next().value));
    }
    this.tiles.set(key, tile);
    return tile;
  }

  /**
   * @param {Tile} tile
   * @param {{left: number, top: number}} at on the band, in device pixels
   */
  paintTile(tile, { left, top }) {
    const chart = /** @type {Chart} */ (this.chart);
    const { height } = lattice.extent(chart);
    const lower = height - (top + TILE) / this.half - 1;
    const upper = height - top / this.half;
    const { first, last } = lattice.rowsBetween(chart, lower, upper);
    const low = Math.floor(left / this.beadWidth) + 1;
    const end = Math.floor((left + TILE - 1) / this.beadWidth) + 1;
    const high = Math.min(chart.columns, end);
    const sprites = chart.colours.map((colour) => this.sprite(colour));
    for (let row = first; row <= last; row++) {
      const start = low + ((low + lattice.firstColumn(row)) % 2);
      for (let column = start; column <= high; column += 2) {
        const bead = lattice.index(chart, row, column);
        const { x, y } = this.cornerAt({ row, column });
        tile.context.drawImage(sprites[chart.beads[bead]], x - left, y - top);
        this.paintedBeads++;
      }
    }
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
    const { chart, context, canvas } = this;
    if (!chart || !canvas.width) return;
    this.frames++;
    const { left, top, band, view } = this.layout();
    context.setTransform(1, 0, 0, 1, 0, 0);
    context.clearRect(0, 0, canvas.width, canvas.height);
    context.translate(left - view.left, top - view.top);
    const from = { x: Math.max(0, view.left - left), y: Math.max(0, view.top - top) };
    const to = {
      x: Math.min(band.width, view.left + view.width - left),
      y: Math.min(band.height, view.top + view.height - top),
    };
    this.drawShadow(band, from, to);
    for (let down = Math.floor(from.y / TILE); down * TILE < to.y; down++) {
      for (let across = Math.floor(from.x / TILE); across * TILE < to.x; across++) {
        context.drawImage(this.tile(across, down).canvas, across * TILE, down * TILE);
      }
    }
    this.drawRowsBeyond(chart);
    drawOverlay(this, { chart, band, from, to });
  }

  /**
   * The shadow of the band on the work surface: dark between the beads, with soft edges.
   * @param {{width: number, height: number}} band
   * @param {Point} from the part in sight
   * @param {Point} to
   */
  drawShadow(band, from, to) {
    const { context, half, ratio } = this;
    const soft = 6 * ratio;
    const top = Math.max(half, from.y - soft);
    const down = Math.min(band.height - half, to.y + soft) - top;
    if (down <= 0) return;
    context.fillStyle = "rgba(30,22,10,0.25)";
    context.fillRect(from.x + 1, top, Math.max(0, to.x - from.x - 2), down);
    for (const [x0, x1] of [
      [0, -soft],
      [band.width, band.width + soft],
    ]) {
      const shade = context.createLinearGradient(x0, 0, x1, 0);
      shade.addColorStop(0, "rgba(30,22,10,0.2)");
      shade.addColorStop(0.5, "rgba(30,22,10,0.06)");
      shade.addColorStop(1, "rgba(30,22,10,0)");
      context.fillStyle = shade;
      context.fillRect(Math.min(x0, x1), top, soft, down);
    }
  }

  /**
   * The rows beyond both ends of a closed band, paler the farther out.
   * @param {Chart} chart
   */
  drawRowsBeyond(chart) {
    const { context, overlay, rowsBeyond } = this;
    for (const first of [1 - rowsBeyond, chart.rows + 1]) {
      for (let row = first; row < first + rowsBeyond; row++) {
        const out = row < 1 ? 1 - row : row - chart.rows;
        context.globalAlpha = 0.6 * (1 - (out - 0.5) / rowsBeyond);
        const start = lattice.firstColumn(Math.abs(row));
        for (let column = start; column <= chart.columns; column += 2) {
          const bead = lattice.index(chart, lattice.wrapRow(chart, row), column);
          const colour = overlay.preview.get(bead) ?? chart.colours[chart.beads[bead]];
          const { x, y } = this.cornerAt({ row, column });
          context.drawImage(this.sprite(colour), x, y);
        }
      }
    }
    context.globalAlpha = 1;
  }
}

/** @returns {Tile} */
function newTile() {
  const canvas = new OffscreenCanvas(TILE, TILE);
  const context = /** @type {OffscreenCanvasRenderingContext2D} */ (canvas.getContext("2d"));
  return { canvas, context };
}

/**
 * The numbers of the tiles that cover a range of pixels.
 * @param {number} from
 * @param {number} to
 */
function tilesBetween(from, to) {
  const first = Math.floor(from / TILE);
  const last = Math.floor(to / TILE);
  return Array.from({ length: last - first + 1 }, (_, nth) => first + nth);
}

/**
 * Where a view is scrolled to so that an item and some room around it are in sight.
 * @param {{from: number, size: number}} item
 * @param {{from: number, size: number, room: number}} view
 */
function scrolledTo(item, view) {
  const end = item.from + item.size + view.room;
  if (end > view.from + view.size) return end - view.size;
  return item.from < view.from + view.room ? item.from - view.room : view.from;
}
