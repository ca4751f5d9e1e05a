// The drawing tools: what presses, drags and keys on the band do.

import { connectedArea, mirrorAxes, mostCommonColour } from "./chart.js";
import { colourBeads, editSize } from "./edits.js";
import { counted } from "./format.js";
import * as lattice from "./lattice.js";
import { flipMotif, liftMotif, motifLeft, moveMotif, placeMotif } from "./motif.js";

/** @typedef {import("./chart.js").Chart} Chart @typedef {import("./chart.js").Colour} Colour */
/** @typedef {import("./edits.js").Edit} Edit @typedef {import("./motif.js").Motif} Motif */
/** @typedef {import("./lattice.js").Place} Place @typedef {import("./lattice.js").Mirror} Mirror */
/** @typedef {"bead" | "line" | "fill" | "pick" | "motif" | "copy"} Tool */
/**
 * @typedef {object} Host what the tools work on
 * @property {() => Chart} chart
 * @property {() => Colour} colour the colour in use
 * @property {(colour: Colour) => void} useColour
 * @property {(edit: Edit | null, label: string) => void} edit
 * @property {(text: string) => void} announce
 * @property {() => void} changed another tool, mirror or selection
 * @property {(colours: Colour[]) => boolean} canUse whether the chart can take these colours; an
 *   error is shown if not
 */
/**
 * @typedef {object} Surface the canvas
 * @property {import("./overlay.js").Overlay} overlay
 * @property {() => void} redraw
 * @property {(bead: number) => void} reveal
 */
/**
 * @typedef {{beads: Set<number>, first: Place, last: Place, isMoving: boolean}} Stroke
 *   a drag: the beads it passed, where it began and where it is, and whether it moves the motif
 */

const NO_STEP = { rows: 0, columns: 0 };

export class Tools {
  /**
   * @param {Host} host
   * @param {Surface} surface
   */
  constructor(host, surface) {
    this.host = host;
    this.surface = surface;
    /** @type {Tool} */
    this.tool = "bead";
    /** The tool to return to after picking up a colour. @type {Tool} */
    this.previous = "bead";
    /** @type {Mirror[]} */
    this.mirrors = [];
    /** @type {Stroke | null} */
    this.stroke = null;
    /** The motif of which copies are placed. @type {Motif | null} */
    this.motif = null;
    /**
     * Where a line or a motif was started by key, and how far it reaches; rows go on over the seam.
     * @type {{from: Place, to: Place} | null}
     */
    this.started = null;
    /** The bead under the pointer, or -1. */
    this.hovered = -1;
    /** The shape of the band that was shown last. @type {lattice.Shape | null} */
    this.shape = null;
  }

  get overlay() {
    return this.surface.overlay;
  }

  /** @param {Tool} tool */
  use(tool) {
    if (tool === "pick" && this.tool !== "pick") {
      this.previous = this.tool === "copy" ? "motif" : this.tool;
    }
    if (tool === "motif") this.cancelStroke();
    else this.deselect();
    this.tool = tool;
    this.host.changed();
  }

  /** Cancels what has been started, and the selection. */
  deselect() {
    this.overlay.box = null;
    this.cancelStroke();
  }

  /** Cancels what has been started, and the copy of a motif; the selection stays. */
  cancelStroke() {
    this.stroke = null;
    this.started = null;
    this.overlay.anchor = -1;
    this.overlay.preview = new Map();
    this.motif = null;
    if (this.tool === "copy") this.tool = "motif";
    this.surface.redraw();
    this.host.changed();
  }

  /**
   * Mirrors what is drawn, or stops doing so.
   * @param {Mirror} mirror
   */
  toggleMirror(mirror) {
    const chart = this.host.chart();
    const isOn = this.mirrors.includes(mirror);
    if (!isOn && !lattice.hasMirror(chart, mirror)) {
      const count = mirror === "columns" ? chart.columns : chart.rows;
      this.host.announce(`${count} ${mirror} cannot be mirrored: an odd count is needed`);
      return;
    }
    this.mirrors = isOn
      ? this.mirrors.filter((other) => other !== mirror)
      : [...this.mirrors, mirror];
    this.overlay.axes = mirrorAxes(chart, this.mirrors);
    const name = mirror === "columns" ? "left to right" : "end to end";
    this.host.announce(`Mirror ${name}: ${isOn ? "off" : "on"}`);
    this.surface.redraw();
    this.host.changed();
  }

  /**
   * Follows a change of the chart: drops mirrors that it no longer has and, if its shape is
   * another, whatever was started. A copy of a motif stays.
   */
  chartChanged() {
    const chart = this.host.chart();
    const { columns, rows, closed } = chart;
    if (!this.shape || !lattice.isSameShape(this.shape, chart)) {
      this.shape = { columns, rows, closed };
      this.stroke = null;
      this.started = null;
      this.hovered = -1;
      const cursor = Math.min(this.overlay.cursor, lattice.count(chart) - 1);
      const preview = new Map();
      Object.assign(this.overlay, { anchor: -1, hover: -1, preview, box: null, cursor });
    }
    this.mirrors = this.mirrors.filter((mirror) => lattice.hasMirror(chart, mirror));
    this.overlay.axes = mirrorAxes(chart, this.mirrors);
  }

  // --- Pointer

  /**
   * @param {Place | null} where null beside the band
   * @param {{altKey: boolean}} event
   */
  press(where, { altKey }) {
    if (!where) {
      if (this.tool === "motif") this.deselect();
      return;
    }
    const chart = this.host.chart();
    const bead = lattice.beadAt(chart, where);
    if (altKey || this.tool === "pick") return this.pick(bead);
    if (this.tool === "fill") return this.fill(bead);
    if (this.tool === "copy") return this.placeCopy(bead);
    const isMoving = this.tool === "motif" && this.isInBox(bead);
    this.stroke = { beads: new Set([bead]), first: where, last: where, isMoving };
    if (this.tool === "motif" && !isMoving) {
      this.overlay.box = lattice.boxBetween(chart, where, where);
    }
    this.previewStroke();
  }

  /** @param {Place[]} places in the order in which the pointer passed them */
  drag(places) {
    const { stroke } = this;
    if (!stroke) return;
    const chart = this.host.chart();
    for (const place of places) {
      if (this.tool === "bead") {
        // A quick pointer skips beads.
        for (const between of lattice.line(chart, stroke.last, place)) stroke.beads.add(between);
      }
      stroke.last = place;
    }
    if (this.tool === "line") {
      stroke.beads = new Set(lattice.line(chart, stroke.first, stroke.last));
    }
    if (this.tool === "motif" && !stroke.isMoving) {
      this.overlay.box = lattice.boxBetween(chart, stroke.first, stroke.last);
    }
    this.previewStroke();
  }

  release() {
    const { stroke } = this;
    this.stroke = null;
    this.overlay.preview = new Map();
    if (!stroke) return;
    if (this.tool === "motif") {
      if (stroke.isMoving) this.move(stepOf(stroke));
      this.host.changed();
    } else {
      this.set(stroke.beads);
    }
    this.surface.redraw();
  }

  cancel() {
    this.stroke = null;
    this.overlay.preview = new Map();
    this.surface.redraw();
  }

  /** @param {number} bead or -1 */
  hover(bead) {
    this.hovered = bead;
    if (this.tool !== "copy" || !this.motif) return;
    const chart = this.host.chart();
    const edit =
      bead < 0
        ? null
        : placeMotif(chart, this.motif, this.cornerFor(bead, this.motif), this.overlay.axes);
    this.previewEdit(edit);
  }

  /** Shows what the stroke would do. */
  previewStroke() {
    const { stroke } = this;
    if (!stroke) return;
    const chart = this.host.chart();
    if (this.tool !== "motif") {
      const beads = lattice.withMirrors(chart, stroke.beads, this.overlay.axes);
      const colour = this.host.colour();
      this.overlay.preview = new Map(beads.map((bead) => [bead, colour]));
    } else if (stroke.isMoving && this.overlay.box) {
      const ground = mostCommonColour(chart);
      this.previewEdit(moveMotif(chart, this.overlay.box, stepOf(stroke), ground));
    }
    this.surface.redraw();
  }

  /**
   * Shows what an edit would do.
   * @param {Edit | null} edit
   */
  previewEdit(edit) {
    this.overlay.preview = previewOf(this.host.chart(), edit);
    this.surface.redraw();
  }

  // --- Edits

  /** @param {Iterable<number>} beads */
  set(beads) {
    const colour = this.host.colour();
    if (!this.host.canUse([colour])) return;
    const edit = colourBeads(this.host.chart(), beads, colour, this.overlay.axes);
    this.host.edit(edit, `${counted(editSize(edit), "bead")} of ${colour.name}`);
  }

  /** @param {number} bead */
  pick(bead) {
    const chart = this.host.chart();
    this.host.useColour(chart.colours[chart.beads[bead]]);
    if (this.tool === "pick") this.use(this.previous);
  }

  /** @param {number} bead */
  fill(bead) {
    const chart = this.host.chart();
    const colour = this.host.colour();
    if (!this.host.canUse([colour])) return;
    const edit = colourBeads(chart, this.areasAt(bead), colour);
    this.host.edit(edit, `area of ${counted(editSize(edit), "bead")} filled with ${colour.name}`);
  }

  /**
   * The area at a bead and with a mirror its mirror images, each within its own borders; where
   * another colour lies in place of one, it stays.
   * @param {number} bead
   */
  areasAt(bead) {
    const chart = this.host.chart();
    const images = lattice.withMirrors(chart, [bead], this.overlay.axes);
    const areas = images
      .filter((each) => chart.beads[each] === chart.beads[bead])
      .flatMap((each) => connectedArea(chart, each));
    return new Set(areas);
  }

  /** @param {number} bead */
  isInBox(bead) {
    const { box } = this.overlay;
    return box !== null && lattice.isInBox(this.host.chart(), box, bead);
  }

  /**
   * Moves the selected motif.
   * @param {lattice.Step} step
   */
  move(step) {
    const chart = this.host.chart();
    const { box } = this.overlay;
    if (!box || (!step.rows && !step.columns)) return;
    const by = lattice.limitStep(chart, box, step);
    if (!by.rows && !by.columns) return this.host.announce("The motif is at the edge");
    this.host.edit(moveMotif(chart, box, by, mostCommonColour(chart)), "motif moved");
    this.overlay.box = lattice.moveBox(chart, box, by);
    this.surface.redraw();
  }

  /** Lifts the selected motif, to place copies of it. */
  copy() {
    const { box } = this.overlay;
    if (!box) return;
    this.motif = liftMotif(this.host.chart(), box);
    this.tool = "copy";
    this.overlay.box = null;
    this.host.announce("Motif lifted: click or press Space to place a copy, Escape to stop");
    this.host.changed();
    this.surface.redraw();
  }

  /** Swaps left and right of the motif. */
  flip() {
    if (this.motif) {
      this.motif = flipMotif(this.motif);
      this.hover(this.hovered);
      return this.host.announce("Motif flipped");
    }
    const { box } = this.overlay;
    if (!box) return;
    if ((box.right - box.left + 1) % 2 === 0) {
      return this.host.announce("A motif needs an odd number of columns to be flipped");
    }
    const chart = this.host.chart();
    const motif = flipMotif(liftMotif(chart, box));
    const corner = { row: box.bottom, column: motifLeft(box) };
    this.host.edit(placeMotif(chart, motif, corner), "motif flipped");
  }

  /**
   * Fills the selected motif.
   * @param {Colour} colour
   */
  fillBox(colour) {
    const { box } = this.overlay;
    if (!box || !this.host.canUse([colour])) return;
    const chart = this.host.chart();
    const edit = colourBeads(chart, lattice.beadsInBox(chart, box), colour, this.overlay.axes);
    this.host.edit(edit, `motif filled with ${colour.name}`);
  }

  /**
   * The place of a motif's lower left corner for which its middle is at a bead, at an edge too.
   * @param {number} bead
   * @param {Motif} motif
   * @returns {Place}
   */
  cornerFor(bead, motif) {
    const { row, column } = lattice.place(this.host.chart(), bead);
    const step = lattice.evenStep({
      rows: Math.floor((motif.rows - 1) / 2),
      columns: Math.floor((motif.columns - 1) / 2),
    });
    return { row: row - step.rows, column: column - step.columns };
  }

  /** @param {number} bead */
  placeCopy(bead) {
    if (!this.motif) return;
    this.overlay.preview = new Map();
    if (!this.host.canUse(this.motif.cells.map((cell) => cell.colour))) return;
    const corner = this.cornerFor(bead, this.motif);
    const edit = placeMotif(this.host.chart(), this.motif, corner, this.overlay.axes);
    this.host.edit(edit, "copy of the motif placed");
  }

  // --- Keys

  /** Does at the cursor what a press of the pointer would do. */
  pressCursor() {
    const bead = this.overlay.cursor;
    if (this.tool === "pick") return this.pick(bead);
    if (this.tool === "fill") return this.fill(bead);
    if (this.tool === "copy") return this.placeCopy(bead);
    if (this.tool === "bead") return this.set([bead]);
    if (this.started) this.finish(this.started);
    else this.start(bead);
    this.surface.redraw();
  }

  /**
   * Starts a line or a motif.
   * @param {number} bead
   */
  start(bead) {
    const from = lattice.place(this.host.chart(), bead);
    this.started = { from, to: from };
    this.overlay.anchor = bead;
    const thing = this.tool === "line" ? "The line" : "The motif";
    this.host.announce(`${thing} starts here; press Space again to end it`);
  }

  /**
   * Ends the line or the motif at the cursor.
   * @param {{from: Place, to: Place}} started
   */
  finish({ from, to: last }) {
    const chart = this.host.chart();
    const to = lattice.nearestPlace(chart, this.overlay.cursor, last);
    this.started = null;
    this.overlay.anchor = -1;
    this.overlay.preview = new Map();
    if (this.tool === "line") return this.set(lattice.line(chart, from, to));
    const box = lattice.boxBetween(chart, from, to);
    this.overlay.box = box;
    const count = lattice.beadsInBox(chart, box).length;
    this.host.announce(`Motif of ${counted(count, "bead")} selected`);
    this.host.changed();
  }

  /**
   * Moves the cursor.
   * @param {lattice.Direction} direction
   * @param {number} times
   */
  moveCursor(direction, times) {
    const chart = this.host.chart();
    const { overlay, started } = this;
    for (let nth = 0; nth < times; nth++) {
      overlay.cursor = lattice.nextBead(chart, overlay.cursor, direction);
      if (started) started.to = lattice.nearestPlace(chart, overlay.cursor, started.to);
    }
    const bead = overlay.cursor;
    if (started && this.tool === "line") {
      const line = lattice.line(chart, started.from, started.to);
      const colour = this.host.colour();
      const beads = lattice.withMirrors(chart, line, this.overlay.axes);
      overlay.preview = new Map(beads.map((each) => [each, colour]));
    }
    if (started && this.tool === "motif") {
      overlay.box = lattice.boxBetween(chart, started.from, started.to);
    }
    if (this.tool === "copy") this.hover(bead);
    this.surface.reveal(bead);
    const { row, column } = lattice.place(chart, bead);
    this.host.announce(`row ${row}, column ${column}: ${chart.colours[chart.beads[bead]].name}`);
  }
}

/**
 * How far a stroke has moved the motif.
 * @param {Stroke} stroke
 * @returns {lattice.Step}
 */
function stepOf({ first, last, isMoving }) {
  if (!isMoving) return NO_STEP;
  return { rows: last.row - first.row, columns: last.column - first.column };
}

/**
 * The beads that an edit would set, each with its colour.
 * @param {Chart} chart
 * @param {Edit | null} edit
 * @returns {Map<number, Colour>}
 */
function previewOf(chart, edit) {
  /** @type {Map<number, Colour>} */
  const preview = new Map();
  let { colours } = chart;
  for (const part of edit?.kind === "group" ? edit.parts : edit ? [edit] : []) {
    if (part.kind === "colours") colours = part.to;
    if (part.kind !== "beads") continue;
    part.at.forEach((bead, nth) => preview.set(bead, colours[part.to[nth]]));
  }
  return preview;
}
