// Mouse, pen and fingers on the band: one pointer draws; two fingers scroll and zoom, and so does
// one once a pen has been used. On a phone one finger draws only when the user has chosen so.

import { capturePointer } from "./dom.js";

/** @typedef {import("./lattice.js").Place} Place */
/**
 * @typedef {object} Handlers what the pointer does; places may lie beyond the ends of a closed band
 * @property {(where: Place | null, event: PointerEvent) => void} press
 * @property {(places: Place[]) => void} drag
 * @property {() => void} release
 * @property {() => void} cancel
 * @property {(bead: number) => void} hover
 */
/**
 * @typedef {object} Surface the canvas under the pointer
 * @property {HTMLCanvasElement} canvas
 * @property {HTMLElement} viewport
 * @property {{hover: number, cursor: number}} overlay
 * @property {(pointer: {clientX: number, clientY: number}) => Place | null} placeUnder
 * @property {(where: Place | null) => number} beadAt
 * @property {() => void} redraw
 * @property {() => void} zoomIn
 * @property {() => void} zoomOut
 */

/** No pointer. */
const NONE = -1;
/** Two fingers zoom one step when their distance changes by this ratio. */
const PINCH = { in: 1.15, out: 0.87 };

/**
 * Listens to the pointers on a canvas.
 * @param {Surface} surface
 * @param {Handlers} handlers
 */
export function listenToPointer(surface, handlers) {
  const { canvas, viewport } = surface;
  const input = new PointerInput(surface, handlers);
  viewport.addEventListener(
    "wheel",
    (event) => {
      if (!event.ctrlKey) return;
      event.preventDefault();
      if (event.deltaY < 0) surface.zoomIn();
      else surface.zoomOut();
    },
    { passive: false },
  );
  canvas.addEventListener("contextmenu", (event) => event.preventDefault());
  canvas.addEventListener("pointerdown", (event) => input.down(event));
  canvas.addEventListener("pointermove", (event) => input.move(event));
  canvas.addEventListener("pointerup", (event) => {
    if (input.lift(event)) handlers.release();
  });
  canvas.addEventListener("pointercancel", (event) => {
    if (input.lift(event)) handlers.cancel();
  });
  canvas.addEventListener("pointerleave", () => {
    surface.overlay.hover = -1;
    handlers.hover(-1);
    surface.redraw();
  });
}

class PointerInput {
  /**
   * @param {Surface} surface
   * @param {Handlers} handlers
   */
  constructor(surface, handlers) {
    this.surface = surface;
    this.handlers = handlers;
    /** The pointer that draws. */
    this.drawing = NONE;
    /** Where each finger is. @type {Map<number, {x: number, y: number}>} */
    this.fingers = new Map();
    /** The distance of two fingers at the last zoom step, in pixels. */
    this.pinch = 0;
    this.isPenDown = false;
    this.hasSeenPen = false;
  }

  /** @param {PointerEvent} event */
  down(event) {
    // While a pen draws, the hand that holds it may rest on the screen.
    if (event.pointerType === "touch" && this.isPenDown) return;
    if (event.pointerType === "pen") this.startPen();
    capturePointer(this.surface.canvas, event);
    if (event.pointerType === "touch" && this.startGesture(event)) return;
    if (this.drawing !== NONE || event.button > 0) return;
    this.drawing = event.pointerId;
    this.isPenDown = event.pointerType === "pen";
    this.surface.viewport.focus({ preventScroll: true });
    const where = this.surface.placeUnder(event);
    if (where) this.surface.overlay.cursor = this.surface.beadAt(where);
    this.handlers.press(where, event);
  }

  /**
   * Adds a finger; true if the fingers now scroll and zoom.
   * @param {PointerEvent} event
   */
  startGesture(event) {
    this.fingers.set(event.pointerId, { x: event.clientX, y: event.clientY });
    const isScrolling = this.surface.viewport.dataset.finger === "scroll";
    // The browser itself scrolls with one finger, the page as well.
    if (this.fingers.size < 2 && isScrolling) return true;
    if (this.fingers.size < 2 && !this.hasSeenPen) return false;
    this.cancelDrawing();
    this.pinch = this.fingerDistance();
    return true;
  }

  /** A pen comes down: what a palm has begun before is cancelled. */
  startPen() {
    this.hasSeenPen = true;
    if (this.fingers.has(this.drawing)) this.cancelDrawing();
    this.fingers.clear();
  }

  cancelDrawing() {
    if (this.drawing !== NONE) this.handlers.cancel();
    this.drawing = NONE;
  }

  /** @param {PointerEvent} event */
  move(event) {
    const { surface } = this;
    if (event.pointerType === "touch" && this.isPenDown) return;
    const finger = this.fingers.get(event.pointerId);
    const isAlone = this.fingers.size < 2 && surface.viewport.dataset.finger === "scroll";
    if (finger && this.drawing === NONE) return isAlone ? undefined : this.scroll(finger, event);
    const bead = surface.beadAt(surface.placeUnder(event));
    if (bead !== surface.overlay.hover && event.pointerType !== "touch") {
      surface.overlay.hover = bead;
      this.handlers.hover(bead);
      surface.redraw();
    }
    if (event.pointerId !== this.drawing) return;
    const events = event.getCoalescedEvents?.() ?? [];
    const places = (events.length ? events : [event])
      .map((each) => surface.placeUnder(each))
      .filter((each) => each !== null);
    const last = places.at(-1);
    if (last) surface.overlay.cursor = surface.beadAt(last);
    this.handlers.drag(places);
  }

  /**
   * Scrolls with a finger, and zooms with two.
   * @param {{x: number, y: number}} finger
   * @param {PointerEvent} event
   */
  scroll(finger, event) {
    const share = 1 / this.fingers.size;
    const left = (finger.x - event.clientX) * share;
    const top = (finger.y - event.clientY) * share;
    this.surface.viewport.scrollBy(left, top);
    this.fingers.set(event.pointerId, { x: event.clientX, y: event.clientY });
    this.zoom();
  }

  zoom() {
    const distance = this.fingerDistance();
    if (!distance || !this.pinch) return;
    const ratio = distance / this.pinch;
    if (ratio <= PINCH.in && ratio >= PINCH.out) return;
    if (ratio > 1) this.surface.zoomIn();
    else this.surface.zoomOut();
    this.pinch = distance;
  }

  fingerDistance() {
    const [a, b] = [...this.fingers.values()];
    return a && b ? Math.hypot(a.x - b.x, a.y - b.y) : 0;
  }

  /**
   * Removes a pointer; true if it was drawing.
   * @param {PointerEvent} event
   */
  lift(event) {
    this.fingers.delete(event.pointerId);
    if (event.pointerId !== this.drawing) return false;
    this.drawing = NONE;
    this.isPenDown = false;
    return true;
  }
}
