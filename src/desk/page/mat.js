// The mat: the band drawn on a canvas, row 1 at the bottom, only what is seen. Beads are painted once into tiles; scrolling lays tiles
// down, and a bead that changes repaints its own rectangle alone.

import * as lattice from "./lattice.js";
import { paint } from "./beads.js";

/** @typedef {import('./chart.js').Chart} Chart @typedef {import('./chart.js').Colour} Colour */
/** @typedef {object} Hooks what the mat tells of hands on it
 * @property {(where: lattice.Place | null, event: PointerEvent) => void} press @property {(places: lattice.Place[], event: PointerEvent) => void} drag
 * @property {(event: PointerEvent) => void} release @property {() => void} cancel @property {(bead: number) => void} hover
 * @property {() => void} zoomed */

const TILE = 256;
const MOST_TILES = 160;
/** Rows beyond either end of a closed band that are shown pale, since there the band goes on. */
const BEYOND = 4;
/** Room beside the band for row numbers, in CSS pixels. */
const GUTTER = 46;
const MARGIN = 14;
/** Half a bead's height in device pixels, least and most. */
const ZOOM = [1, 48];

export class Mat {
  /** @param {HTMLElement} stage what scrolls @param {HTMLElement} sizer as large as the band @param {HTMLCanvasElement} canvas @param {Hooks} hooks */
  constructor(stage, sizer, canvas, hooks) {
    this.stage = stage;
    this.sizer = sizer;
    this.canvas = canvas;
    this.hooks = hooks;
    this.on = /** @type {CanvasRenderingContext2D} */ (canvas.getContext("2d"));
    /** @type {Chart | null} */
    this.chart = null;
    this.half = 7;
    /** @type {Map<string, {canvas: OffscreenCanvas, on: OffscreenCanvasRenderingContext2D}>} */
    this.tiles = new Map();
    /** @type {Map<string, OffscreenCanvas>} */
    this.sprites = new Map();
    /** What lies over the beads. @type {{cursor: number, hover: number, pinned: Map<number, number>, lit: Set<number>, box: lattice.Box | null,
     * axes: ("columns" | "rows")[], ghost: Map<number, Colour>, anchor: number, pins: boolean}} */
    this.over = { cursor: 0, hover: -1, pinned: new Map(), lit: new Set(), box: null, axes: [], ghost: new Map(), anchor: -1, pins: true };
    this.fitted = true;
    this.waiting = 0;
    /** Beads painted since the page came, and frames drawn: for the tests. */
    this.painted = 0;
    this.frames = 0;
    /** @type {Map<number, {x: number, y: number}>} */
    this.fingers = new Map();
    this.pinch = 0;
    this.pressed = -1;
    /** Whether what presses is a pen. */
    this.penDown = false;
    this.penSeen = false;
    this.listen();
    new ResizeObserver(() => this.resized()).observe(stage);
  }

  /** Shows a chart; `changed` names the beads that differ where all else stayed. @param {Chart} chart @param {number[]} [changed] */
  show(chart, changed) {
    const before = this.chart;
    this.chart = chart;
    const alike =
      before &&
      lattice.isAlike(before, chart) &&
      before.bead.length_mm === chart.bead.length_mm &&
      before.bead.diameter_mm === chart.bead.diameter_mm;
    if (alike && changed) {
      for (const bead of changed) this.repaint(bead);
    } else {
      this.tiles.clear();
    }
    if (!alike) {
      if (this.fitted) this.fit();
      else this.laidOut();
    }
    this.soon();
  }

  get ratio() {
    return window.devicePixelRatio || 1;
  }

  /** A bead's width in device pixels, whole, so that the lattice is crisp. */
  get width() {
    const { length_mm, diameter_mm } = this.chart?.bead ?? { length_mm: 1.3, diameter_mm: 1.6 };
    return Math.max(1, Math.round((2 * this.half * length_mm) / diameter_mm));
  }

  get beyond() {
    return this.chart?.closed ? BEYOND : 0;
  }

  /** Where the band lies in what scrolls, and how large it is: device pixels. */
  layout() {
    const chart = /** @type {Chart} */ (this.chart);
    const { width, height } = lattice.extent(chart);
    const band = { width: width * this.width, height: height * this.half };
    const more = this.beyond * this.half;
    const across = Math.round(this.stage.clientWidth * this.ratio);
    const down = Math.round(this.stage.clientHeight * this.ratio);
    const gutter = Math.round(GUTTER * this.ratio);
    const margin = Math.round(MARGIN * this.ratio);
    const whole = { width: Math.max(across, band.width + 2 * gutter), height: Math.max(down, band.height + 2 * more + 2 * margin) };
    return {
      band,
      whole,
      left: Math.round((whole.width - band.width) / 2),
      top: Math.round((whole.height - band.height) / 2),
      view: { left: Math.round(this.stage.scrollLeft * this.ratio), top: Math.round(this.stage.scrollTop * this.ratio), width: across, height: down },
    };
  }

  /** Makes what scrolls as large as the band at this zoom. */
  laidOut() {
    if (!this.chart) return;
    const { whole } = this.layout();
    this.sizer.style.width = `${whole.width / this.ratio}px`;
    this.sizer.style.height = `${whole.height / this.ratio}px`;
    const across = Math.round(this.stage.clientWidth * this.ratio);
    const down = Math.round(this.stage.clientHeight * this.ratio);
    // A canvas that is sized is emptied and laid out anew, even if it is as large as before.
    if (this.canvas.width !== across || this.canvas.height !== down) Object.assign(this.canvas, { width: across, height: down });
    this.canvas.style.width = `${this.stage.clientWidth}px`;
    this.canvas.style.height = `${this.stage.clientHeight}px`;
    this.soon();
  }

  resized() {
    if (!this.chart || !this.stage.clientHeight) return;
    if (this.fitted) this.fit();
    else this.laidOut();
  }

  /** The zoom at which the whole band is seen. */
  fit() {
    if (!this.chart) return;
    const { width, height } = lattice.extent(this.chart);
    const { length_mm, diameter_mm } = this.chart.bead;
    const down = ((this.stage.clientHeight - 2 * MARGIN) * this.ratio) / (height + 2 * this.beyond);
    const across = ((((this.stage.clientWidth - 2 * GUTTER) * this.ratio) / width) * diameter_mm) / length_mm / 2;
    this.zoom(Math.floor(Math.min(down, across, 20 * this.ratio)));
    this.fitted = true;
  }

  /** Sets half a bead's height; what is in the middle stays there. @param {number} half device pixels */
  zoom(half) {
    if (!this.chart) return;
    const next = Math.max(ZOOM[0], Math.min(ZOOM[1], half));
    const before = this.layout();
    const x = (before.view.left + before.view.width / 2 - before.left) / before.band.width;
    const y = (before.view.top + before.view.height / 2 - before.top) / before.band.height;
    if (next !== this.half) {
      this.half = next;
      this.tiles.clear();
      this.sprites.clear();
    }
    this.fitted = false;
    this.laidOut();
    const after = this.layout();
    this.stage.scrollLeft = (after.left + x * after.band.width - after.view.width / 2) / this.ratio;
    this.stage.scrollTop = (after.top + y * after.band.height - after.view.height / 2) / this.ratio;
    this.hooks.zoomed();
  }

  /** One step nearer or further. @param {number} way 1 or -1 */
  zoomBy(way) {
    const step = Math.max(1, Math.round(this.half * 0.2));
    this.zoom(this.half + way * step);
  }

  /** Scrolls so that a bead is seen. @param {number} bead */
  reveal(bead) {
    const chart = this.chart;
    if (!chart || bead < 0) return;
    const { left, top, view } = this.layout();
    const at = this.corner(bead);
    const room = 2 * this.half + 30 * this.ratio;
    const x = left + at.x;
    const y = top + at.y;
    let { left: toX, top: toY } = view;
    if (x < view.left + room) toX = x - room;
    if (x + this.width > view.left + view.width - room) toX = x + this.width + room - view.width;
    if (y < view.top + room) toY = y - room;
    if (y + 2 * this.half > view.top + view.height - room) toY = y + 2 * this.half + room - view.height;
    this.stage.scrollTo({ left: toX / this.ratio, top: toY / this.ratio });
    this.soon();
  }

  /** A bead's upper left corner on the band, in device pixels. @param {number} bead */
  corner(bead) {
    const chart = /** @type {Chart} */ (this.chart);
    return this.spot(lattice.place(chart, bead));
  }

  /** @param {lattice.Place} where */
  spot(where) {
    const chart = /** @type {Chart} */ (this.chart);
    const { x, y } = lattice.corner(where);
    return { x: x * this.width, y: (lattice.extent(chart).height - y - 2) * this.half };
  }

  /** The bead at a place, or -1. @param {lattice.Place | null} where */
  beadAt(where) {
    return this.chart && where ? lattice.beadAt(this.chart, where) : -1;
  }

  /** Where the bead under a point of the window lies, rows beyond either end of a closed band counted on; or null. @param {number} clientX
   * @param {number} clientY @returns {lattice.Place | null} */
  under(clientX, clientY) {
    const chart = this.chart;
    if (!chart) return null;
    const bounds = this.canvas.getBoundingClientRect();
    const { left, top, band, view } = this.layout();
    const x = (clientX - bounds.left) * this.ratio + view.left - left;
    const y = band.height - ((clientY - bounds.top) * this.ratio + view.top - top);
    const more = this.beyond * this.half;
    if (y < -more || y > band.height + more) return null;
    const where = lattice.placeAt(x / this.width, y / this.half);
    return lattice.beadAt(chart, where) < 0 ? null : where;
  }

  /** The middle of a bead in the window. @param {number} bead */
  middle(bead) {
    const bounds = this.canvas.getBoundingClientRect();
    const { left, top, view } = this.layout();
    const at = this.corner(bead);
    return {
      x: bounds.left + (left + at.x + this.width / 2 - view.left) / this.ratio,
      y: bounds.top + (top + at.y + this.half - view.top) / this.ratio,
    };
  }

  /** @param {Colour} colour */
  sprite(colour) {
    const key = `${colour.hex} ${colour.finish ?? ""}`;
    let sprite = this.sprites.get(key);
    if (!sprite) {
      sprite = new OffscreenCanvas(this.width, 2 * this.half);
      paint(/** @type {OffscreenCanvasRenderingContext2D} */ (sprite.getContext("2d")), 0, 0, this.width, 2 * this.half, colour);
      this.sprites.set(key, sprite);
    }
    return sprite;
  }

  /** Paints a bead anew in the tiles that show it. @param {number} bead */
  repaint(bead) {
    const chart = /** @type {Chart} */ (this.chart);
    const { x, y } = this.corner(bead);
    const sprite = this.sprite(chart.colours[chart.beads[bead]]);
    for (let down = Math.floor(y / TILE); down <= Math.floor((y + 2 * this.half - 1) / TILE); down++) {
      for (let across = Math.floor(x / TILE); across <= Math.floor((x + this.width - 1) / TILE); across++) {
        const tile = this.tiles.get(`${across} ${down}`);
        if (!tile) continue;
        const toX = x - across * TILE;
        const toY = y - down * TILE;
        tile.on.clearRect(toX, toY, this.width, 2 * this.half);
        tile.on.drawImage(sprite, toX, toY);
        this.painted++;
      }
    }
  }

  /** @param {number} across @param {number} down */
  tile(across, down) {
    const key = `${across} ${down}`;
    let tile = this.tiles.get(key);
    if (tile) return tile;
    const chart = /** @type {Chart} */ (this.chart);
    const canvas = new OffscreenCanvas(TILE, TILE);
    tile = { canvas, on: /** @type {OffscreenCanvasRenderingContext2D} */ (canvas.getContext("2d")) };
    const { height } = lattice.extent(chart);
    const { first, last } = lattice.rowsBetween(chart, height - ((down + 1) * TILE) / this.half - 1, height - (down * TILE) / this.half);
    const low = Math.floor((across * TILE) / this.width) + 1;
    const high = Math.min(chart.columns, Math.floor(((across + 1) * TILE - 1) / this.width) + 1);
    const sprites = chart.colours.map((colour) => this.sprite(colour));
    for (let row = first; row <= last; row++) {
      const start = lattice.firstColumn(row);
      for (let column = low + ((low + start) % 2); column <= high; column += 2) {
        const bead = lattice.index(chart, row, column);
        const { x, y } = this.spot({ row, column });
        tile.on.drawImage(sprites[chart.beads[bead]], x - across * TILE, y - down * TILE);
        this.painted++;
      }
    }
    if (this.tiles.size >= MOST_TILES) this.tiles.delete(/** @type {string} */ (this.tiles.keys().next().value));
    this.tiles.set(key, tile);
    return tile;
  }

  /** Draws before the next frame, once. */
  soon() {
    if (this.waiting) return;
    this.waiting = requestAnimationFrame(() => {
      this.waiting = 0;
      this.draw();
    });
  }

  draw() {
    const { chart, on } = this;
    if (!chart || !this.canvas.width) return;
    this.frames++;
    const { left, top, band, view } = this.layout();
    on.setTransform(1, 0, 0, 1, 0, 0);
    on.clearRect(0, 0, this.canvas.width, this.canvas.height);
    on.translate(left - view.left, top - view.top);
    const from = { x: Math.max(0, view.left - left), y: Math.max(0, view.top - top) };
    const to = { x: Math.min(band.width, view.left + view.width - left), y: Math.min(band.height, view.top + view.height - top) };
    this.shadow(band, from, to);
    for (let down = Math.floor(from.y / TILE); down * TILE < to.y; down++) {
      for (let across = Math.floor(from.x / TILE); across * TILE < to.x; across++) {
        on.drawImage(this.tile(across, down).canvas, across * TILE, down * TILE);
      }
    }
    this.drawBeyond(chart);
    this.drawGhost();
    const style = getComputedStyle(this.stage);
    this.drawNumbers(chart, style, from, to);
    this.drawAxes(chart, style, band);
    this.drawOver(chart, style);
  }

  /** The band lies on the felt: dark between the beads, and a soft edge, drawn only where it is seen.
   * @param {{width: number, height: number}} band @param {{x: number, y: number}} from @param {{x: number, y: number}} to */
  shadow(band, from, to) {
    const { on, half, ratio } = this;
    const soft = 6 * ratio;
    const top = Math.max(half, from.y - soft);
    const down = Math.min(band.height - half, to.y + soft) - top;
    if (down <= 0) return;
    on.fillStyle = "rgba(30,22,10,0.25)";
    on.fillRect(from.x + 1, top, Math.max(0, to.x - from.x - 2), down);
    const edge = (/** @type {number} */ x0, /** @type {number} */ x1) => {
      const shade = on.createLinearGradient(x0, 0, x1, 0);
      shade.addColorStop(0, "rgba(30,22,10,0.2)");
      shade.addColorStop(0.5, "rgba(30,22,10,0.06)");
      shade.addColorStop(1, "rgba(30,22,10,0)");
      on.fillStyle = shade;
      on.fillRect(Math.min(x0, x1), top, soft, down);
    };
    edge(0, -soft);
    edge(band.width, band.width + soft);
  }

  /** @param {Chart} chart */
  drawBeyond(chart) {
    if (!this.beyond) return;
    for (const first of [1 - this.beyond, chart.rows + 1]) {
      for (let row = first; row < first + this.beyond; row++) {
        // Paler the farther out.
        const out = row < 1 ? 1 - row : row - chart.rows;
        this.on.globalAlpha = 0.6 * (1 - (out - 0.5) / this.beyond);
        for (let column = lattice.firstColumn(Math.abs(row)); column <= chart.columns; column += 2) {
          const bead = lattice.index(chart, lattice.wrapped(chart, row), column);
          const { x, y } = this.spot({ row, column });
          this.on.drawImage(this.sprite(this.over.ghost.get(bead) ?? chart.colours[chart.beads[bead]]), x, y);
        }
      }
    }
    this.on.globalAlpha = 1;
  }

  /** Whether the band has that bead. @param {number} bead */
  isThere(bead) {
    return this.chart !== null && bead >= 0 && bead < this.chart.beads.length;
  }

  drawGhost() {
    for (const [bead, colour] of this.over.ghost) {
      if (!this.isThere(bead)) continue;
      const { x, y } = this.corner(bead);
      this.on.drawImage(this.sprite(colour), x, y);
    }
  }

  /** @param {Chart} chart @param {CSSStyleDeclaration} style @param {{y: number}} from @param {{y: number}} to */
  drawNumbers(chart, style, from, to) {
    const { on, ratio } = this;
    const tall = this.half / ratio;
    const every = tall >= 14 ? 1 : tall >= 7 ? 5 : tall >= 3 ? 10 : tall >= 1.5 ? 20 : 50;
    on.font = `${11 * ratio}px system-ui, sans-serif`;
    on.fillStyle = style.getPropertyValue("--faint");
    on.textBaseline = "middle";
    on.textAlign = "right";
    const { height } = lattice.extent(chart);
    const { first, last } = lattice.rowsBetween(chart, height - to.y / this.half - 1, height - from.y / this.half);
    for (let row = first; row <= last; row++) {
      if (row !== 1 && row !== chart.rows && (row % every || (every > 1 && chart.rows - row < every / 2))) continue;
      const { y } = this.spot({ row, column: 1 });
      on.fillText(String(row), -10 * ratio, y + this.half);
    }
  }

  /** @param {Chart} chart @param {CSSStyleDeclaration} style @param {{width: number, height: number}} band */
  drawAxes(chart, style, band) {
    const { on, ratio } = this;
    if (!this.over.axes.length) return;
    on.save();
    on.strokeStyle = style.getPropertyValue("--thread");
    on.lineWidth = 1.5 * ratio;
    on.setLineDash([5 * ratio, 4 * ratio]);
    on.beginPath();
    const out = 16 * ratio;
    if (this.over.axes.includes("columns")) {
      const x = band.width / 2;
      on.moveTo(x, -out);
      on.lineTo(x, band.height + out);
    }
    if (this.over.axes.includes("rows")) {
      for (const row of chart.closed ? [chart.rows / 2, chart.rows] : [(chart.rows + 1) / 2]) {
        const y = band.height - row * this.half;
        on.moveTo(-out * 0.4, y);
        on.lineTo(band.width + out, y);
      }
    }
    on.stroke();
    on.restore();
  }

  /** @param {Chart} chart @param {CSSStyleDeclaration} style */
  drawOver(chart, style) {
    const { over } = this;
    const halo = style.getPropertyValue("--halo");
    const accent = style.getPropertyValue("--accent");
    for (const bead of over.lit) this.outline(bead, style.getPropertyValue("--warn"), halo, 2);
    if (over.pins) for (const bead of over.pinned.keys()) this.pin(bead, style);
    if (over.box) this.frame(chart, over.box, accent, halo);
    if (over.anchor >= 0) this.outline(over.anchor, accent, halo, 2);
    if (over.hover >= 0) for (const bead of lattice.withMirrors(chart, [over.hover], over.axes)) this.outline(bead, accent, halo, 1.5);
    if (document.activeElement === this.stage) this.outline(over.cursor, accent, halo, 2.5);
  }

  /** A box round beads; over the seam it is seen at both ends. @param {Chart} chart @param {lattice.Box} box @param {string} colour @param {string} halo */
  frame(chart, box, colour, halo) {
    const { on, ratio } = this;
    const { width, height } = lattice.extent(chart);
    const most = { x: width * this.width, y: height * this.half };
    const beyond = this.beyond * this.half;
    on.save();
    on.beginPath();
    on.rect(-4 * ratio, -beyond - 4 * ratio, most.x + 8 * ratio, most.y + 2 * beyond + 8 * ratio);
    on.clip();
    for (const back of box.top > chart.rows ? [0, chart.rows] : [0]) {
      const low = this.spot({ row: box.bottom - back, column: box.left });
      const high = this.spot({ row: box.top - back, column: box.right });
      const rim = /** @type {const} */ ([low.x - 2, high.y - 2, high.x + this.width - low.x + 4, low.y + 2 * this.half - high.y + 4]);
      on.lineWidth = 3 * ratio;
      on.strokeStyle = halo;
      on.setLineDash([]);
      on.strokeRect(...rim);
      on.lineWidth = 1.5 * ratio;
      on.strokeStyle = colour;
      on.setLineDash([6 * ratio, 4 * ratio]);
      on.strokeRect(...rim);
    }
    on.restore();
  }

  /** @param {number} bead @param {string} colour @param {string} halo @param {number} wide */
  outline(bead, colour, halo, wide) {
    if (!this.isThere(bead)) return;
    const { on, ratio } = this;
    const { x, y } = this.corner(bead);
    for (const [stroke, width] of /** @type {[string, number][]} */ ([
      [halo, wide + 2],
      [colour, wide],
    ])) {
      on.beginPath();
      on.roundRect(x - 0.5, y - 0.5, this.width + 1, 2 * this.half + 1, this.half * 0.4);
      on.lineWidth = width * ratio;
      on.strokeStyle = stroke;
      on.stroke();
    }
  }

  /** A pin with a round head beside the bead that a finding speaks of. @param {number} bead @param {CSSStyleDeclaration} style */
  pin(bead, style) {
    if (!this.isThere(bead)) return;
    const { on, ratio } = this;
    const { x, y } = this.corner(bead);
    const at = { x: x + this.width / 2, y: y + this.half };
    on.beginPath();
    on.arc(at.x, at.y, 2.4 * ratio, 0, Math.PI * 2);
    on.fillStyle = style.getPropertyValue("--warn");
    on.fill();
    on.lineWidth = ratio;
    on.strokeStyle = style.getPropertyValue("--halo");
    on.stroke();
  }

  listen() {
    const { stage, canvas } = this;
    stage.addEventListener("scroll", () => this.soon(), { passive: true });
    stage.addEventListener("focus", () => this.soon());
    stage.addEventListener("blur", () => this.soon());
    stage.addEventListener(
      "wheel",
      (event) => {
        if (!event.ctrlKey) return;
        event.preventDefault();
        this.zoomBy(event.deltaY < 0 ? 1 : -1);
      },
      { passive: false },
    );
    canvas.addEventListener("contextmenu", (event) => event.preventDefault());
    canvas.addEventListener("pointerdown", (event) => this.down(event));
    canvas.addEventListener("pointermove", (event) => this.move(event));
    canvas.addEventListener("pointerup", (event) => this.up(event));
    canvas.addEventListener("pointercancel", (event) => this.up(event, true));
    canvas.addEventListener("pointerleave", () => {
      this.over.hover = -1;
      this.hooks.hover(-1);
      this.soon();
    });
  }

  /** @param {PointerEvent} event */
  down(event) {
    // While a pen draws, the hand that holds it may rest on the screen.
    if (event.pointerType === "touch" && this.penDown) return;
    if (event.pointerType === "pen") this.penIn();
    canvasCapture(this.canvas, event);
    if (event.pointerType === "touch") {
      this.fingers.set(event.pointerId, { x: event.clientX, y: event.clientY });
      // Two fingers move and zoom; so does one, once a pen has shown that it does the drawing.
      if (this.fingers.size > 1 || this.penSeen) {
        if (this.pressed >= 0) this.hooks.cancel();
        this.pressed = -1;
        this.pinch = this.spread();
        return;
      }
    }
    if (this.pressed >= 0 || event.button > 0) return;
    this.pressed = event.pointerId;
    this.penDown = event.pointerType === "pen";
    this.stage.focus({ preventScroll: true });
    const where = this.under(event.clientX, event.clientY);
    if (where) this.over.cursor = this.beadAt(where);
    this.hooks.press(where, event);
  }

  /** A pen comes down: what a palm began before it is let go. */
  penIn() {
    this.penSeen = true;
    if (this.pressed >= 0 && this.fingers.has(this.pressed)) {
      this.hooks.cancel();
      this.pressed = -1;
    }
    this.fingers.clear();
  }

  /** @param {PointerEvent} event */
  move(event) {
    if (event.pointerType === "touch" && this.penDown) return;
    const finger = this.fingers.get(event.pointerId);
    if (finger && this.pressed < 0) {
      const share = 1 / this.fingers.size;
      this.stage.scrollBy((finger.x - event.clientX) * share, (finger.y - event.clientY) * share);
      this.fingers.set(event.pointerId, { x: event.clientX, y: event.clientY });
      this.pinched();
      return;
    }
    const bead = this.beadAt(this.under(event.clientX, event.clientY));
    if (bead !== this.over.hover && event.pointerType !== "touch") {
      this.over.hover = bead;
      this.hooks.hover(bead);
      this.soon();
    }
    if (event.pointerId !== this.pressed) return;
    const events = event.getCoalescedEvents?.() ?? [];
    const places = (events.length ? events : [event]).map((each) => this.under(each.clientX, each.clientY)).filter((each) => each !== null);
    if (places.length) this.over.cursor = this.beadAt(places[places.length - 1]);
    this.hooks.drag(places, event);
  }

  /** @param {PointerEvent} event @param {boolean} [lost] */
  up(event, lost = false) {
    this.fingers.delete(event.pointerId);
    if (event.pointerId !== this.pressed) return;
    this.pressed = -1;
    this.penDown = false;
    if (lost) this.hooks.cancel();
    else this.hooks.release(event);
  }

  spread() {
    const [a, b] = [...this.fingers.values()];
    return a && b ? Math.hypot(a.x - b.x, a.y - b.y) : 0;
  }

  pinched() {
    const now = this.spread();
    if (!now || !this.pinch) return;
    const ratio = now / this.pinch;
    if (ratio > 1.15 || ratio < 0.87) {
      this.zoomBy(ratio > 1 ? 1 : -1);
      this.pinch = now;
    }
  }
}

/** Keeps a pointer with the canvas until it is let go; a pointer made by a program cannot be kept, and need not be. @param {HTMLCanvasElement} canvas
 * @param {PointerEvent} event */
function canvasCapture(canvas, event) {
  try {
    canvas.setPointerCapture(event.pointerId);
  } catch {
    // Nothing is lost.
  }
}
