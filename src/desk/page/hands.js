// What the hand does on the mat: beads, lines, pouring, taking a colour, motifs; by mouse, pen, finger and keys.

import * as lattice from "./lattice.js";
import * as charts from "./chart.js";

/** @typedef {import('./chart.js').Colour} Colour @typedef {import('./chart.js').Command} Command */
/** @typedef {"bead" | "line" | "pour" | "take" | "motif" | "stamp"} Tool */
/** @typedef {object} Table what the hand works on
 * @property {() => import('./chart.js').Chart} chart @property {() => Colour} inHand @property {(colour: Colour) => void} takeInHand
 * @property {(command: Command | null, said: string) => void} act @property {(words: string) => void} say @property {() => void} changed
 * @property {(colour: Colour, other: Colour) => void} refuse a colour whose code the band has for another */

export class Hands {
  /** @param {Table} table @param {import('./mat.js').Mat} mat */
  constructor(table, mat) {
    this.table = table;
    this.mat = mat;
    /** @type {Tool} */
    this.tool = "bead";
    /** @type {Tool} */
    this.before = "bead";
    /** @type {("columns" | "rows")[]} */
    this.axes = [];
    /** @type {{beads: Set<number>, first: lattice.Place, last: lattice.Place, moving: boolean, stepped: {rows: number, columns: number}} | null} */
    this.stroke = null;
    /** @type {charts.Motif | null} */
    this.motif = null;
    /** Where a line or a motif was begun by key, and how far it reaches, rows counted on over the seam. @type {{from: lattice.Place, to: lattice.Place} | null} */
    this.begun = null;
    this.hovered = -1;
    /** The shape of the band when it was shown last. @type {lattice.Shape | null} */
    this.shape = null;
  }

  get over() {
    return this.mat.over;
  }

  /** @param {Tool} tool */
  use(tool) {
    if (tool === "take" && this.tool !== "take") this.before = this.tool;
    this.letGo(tool === "motif");
    this.tool = tool;
    this.table.changed();
  }

  /** Lets go of what is begun, and of the motif unless told to keep it. @param {boolean} [box] keep the box */
  letGo(box = false) {
    this.stroke = null;
    this.begun = null;
    this.over.anchor = -1;
    this.over.ghost = new Map();
    if (!box) this.over.box = null;
    this.motif = null;
    if (this.tool === "stamp") this.tool = "motif";
    this.mat.soon();
    this.table.changed();
  }

  /** @param {"columns" | "rows"} axis */
  alike(axis) {
    const chart = this.table.chart();
    const on = !this.axes.includes(axis);
    if (on && !lattice.hasMirror(chart, axis)) {
      const [count, thing] = axis === "columns" ? [chart.columns, "columns"] : [chart.rows, "rows"];
      this.table.say(`${count} ${thing} have no mirror image: with an even count the mirrored beads fall between beads`);
      return;
    }
    this.axes = on ? [...this.axes, axis] : this.axes.filter((other) => other !== axis);
    this.over.axes = this.axes;
    this.table.say(`${axis === "columns" ? "Both sides" : "Both ends"} ${on ? "come out alike" : "are drawn apart again"}`);
    this.mat.soon();
    this.table.changed();
  }

  /** Forgets mirrors that the chart has no longer; on a band of another shape, whatever was begun. A copy in hand stays. */
  settle() {
    const chart = this.table.chart();
    const { columns, rows, closed } = chart;
    if (!this.shape || !lattice.isAlike(this.shape, chart)) {
      this.shape = { columns, rows, closed };
      this.stroke = null;
      this.begun = null;
      this.hovered = -1;
      Object.assign(this.over, { anchor: -1, hover: -1, ghost: new Map(), box: null, cursor: Math.min(this.over.cursor, lattice.count(chart) - 1) });
    }
    this.axes = this.axes.filter((axis) => lattice.hasMirror(chart, axis));
    this.over.axes = this.axes;
  }

  // --- pointer

  /** @param {lattice.Place | null} where rows beyond either end of a closed band counted on @param {PointerEvent} event */
  press(where, event) {
    if (!where) {
      if (this.tool === "motif") this.letGo();
      return;
    }
    const chart = this.table.chart();
    const bead = lattice.beadAt(chart, where);
    if (event.altKey || this.tool === "take") return this.take(bead);
    if (this.tool === "pour") return this.pour(bead);
    if (this.tool === "stamp") return this.stamp(bead);
    const moving = this.tool === "motif" && this.isInBox(bead);
    this.stroke = { beads: new Set([bead]), first: where, last: where, moving, stepped: { rows: 0, columns: 0 } };
    if (this.tool === "motif" && !moving) this.over.box = lattice.boxOf(chart, where, where);
    this.preview();
  }

  /** @param {lattice.Place[]} places as the hand went over them */
  drag(places) {
    const { stroke } = this;
    if (!stroke) return;
    const chart = this.table.chart();
    for (const place of places) {
      // A quick hand passed over the beads between.
      if (this.tool === "bead") for (const between of lattice.line(chart, stroke.last, place)) stroke.beads.add(between);
      stroke.last = place;
    }
    if (this.tool === "line") stroke.beads = new Set(lattice.line(chart, stroke.first, stroke.last));
    if (this.tool === "motif" && stroke.moving) {
      stroke.stepped = { rows: stroke.last.row - stroke.first.row, columns: stroke.last.column - stroke.first.column };
    } else if (this.tool === "motif") {
      this.over.box = lattice.boxOf(chart, stroke.first, stroke.last);
    }
    this.preview();
  }

  release() {
    const { stroke } = this;
    this.stroke = null;
    this.over.ghost = new Map();
    if (!stroke) return;
    if (this.tool === "motif") {
      if (stroke.moving) this.move(stroke.stepped.rows, stroke.stepped.columns);
      this.table.changed();
    } else {
      this.set(stroke.beads);
    }
    this.mat.soon();
  }

  cancel() {
    this.stroke = null;
    this.over.ghost = new Map();
    this.mat.soon();
  }

  /** @param {number} bead */
  hover(bead) {
    this.hovered = bead;
    if (this.tool !== "stamp" || !this.motif) return;
    this.ghostOf(bead < 0 ? null : charts.stamping(this.table.chart(), this.motif, this.cornerFor(bead, this.motif), this.axes));
  }

  preview() {
    const { stroke } = this;
    if (!stroke) return;
    const chart = this.table.chart();
    if (this.tool === "motif") {
      if (stroke.moving && this.over.box)
        this.ghostOf(charts.moving(chart, this.over.box, stroke.stepped.rows, stroke.stepped.columns, charts.commonest(chart)));
    } else {
      const colour = this.table.inHand();
      this.over.ghost = new Map(lattice.withMirrors(chart, stroke.beads, this.axes).map((bead) => [bead, colour]));
    }
    this.mat.soon();
  }

  /** Shows what a command would do. @param {Command | null} command */
  ghostOf(command) {
    const ghost = new Map();
    if (command) {
      const chart = this.table.chart();
      const after = charts.apply(chart, command);
      for (const part of command.kind === "all" ? command.parts : [command]) {
        if (part.kind === "beads") for (const bead of part.at) ghost.set(bead, after.colours[after.beads[bead]]);
      }
    }
    this.over.ghost = ghost;
    this.mat.soon();
  }

  /** Whether one of the colours would be taken for another of its code, which is told. @param {Iterable<Colour>} colours */
  isRefused(colours) {
    for (const colour of colours) {
      const other = charts.namesake(this.table.chart(), colour);
      if (!other) continue;
      this.table.refuse(colour, other);
      return true;
    }
    return false;
  }

  // --- deeds

  /** @param {Iterable<number>} beads */
  set(beads) {
    const chart = this.table.chart();
    const colour = this.table.inHand();
    if (this.isRefused([colour])) return;
    const command = charts.colouring(chart, beads, colour, this.axes);
    const count = command ? size(command) : 0;
    this.table.act(command, `${count} ${count === 1 ? "bead" : "beads"} of ${colour.name}`);
  }

  /** @param {number} bead */
  take(bead) {
    const chart = this.table.chart();
    this.table.takeInHand(chart.colours[chart.beads[bead]]);
    if (this.tool === "take") this.use(this.before);
  }

  /** @param {number} bead */
  pour(bead) {
    const chart = this.table.chart();
    const colour = this.table.inHand();
    if (this.isRefused([colour])) return;
    const command = charts.colouring(chart, charts.patch(chart, bead), colour, this.axes);
    this.table.act(command, `a patch of ${command ? size(command) : 0} in ${colour.name}`);
  }

  /** @param {number} bead */
  isInBox(bead) {
    const { box } = this.over;
    return box !== null && lattice.isInBox(this.table.chart(), box, bead);
  }

  /** @param {number} rows @param {number} columns */
  move(rows, columns) {
    const chart = this.table.chart();
    const { box } = this.over;
    if (!box || (!rows && !columns)) return;
    const by = lattice.within(chart, box, rows, columns);
    if (!by.rows && !by.columns) return this.table.say("The motif is at the edge");
    const command = charts.moving(chart, box, by.rows, by.columns, charts.commonest(chart));
    this.table.act(command, "the motif moved");
    this.over.box = lattice.movedBox(chart, box, by);
    this.mat.soon();
  }

  copy() {
    const { box } = this.over;
    if (!box) return;
    this.motif = charts.lifted(this.table.chart(), box);
    this.tool = "stamp";
    this.over.box = null;
    this.table.say("The motif is in your hand: a press or Space lays it down, Escape lets it go");
    this.table.changed();
    this.mat.soon();
  }

  flip() {
    if (this.motif) {
      this.motif = charts.flipped(this.motif);
      this.hover(this.hovered);
      this.table.say("The motif is turned over");
      return;
    }
    const { box } = this.over;
    if (!box) return;
    const chart = this.table.chart();
    const motif = charts.flipped(charts.lifted(chart, box));
    const left = (box.left + box.bottom) % 2 ? box.left - 1 : box.left;
    const width = box.right - box.left + 1;
    if (width % 2 === 0) return this.table.say("Turn over a motif of an odd number of columns: with an even one its beads fall between beads");
    this.table.act(charts.stamping(chart, motif, { row: box.bottom, column: left }), "the motif turned over");
  }

  /** @param {Colour} colour */
  fillBox(colour) {
    const chart = this.table.chart();
    if (this.over.box && !this.isRefused([colour])) this.table.act(charts.colouring(chart, lattice.inBox(chart, this.over.box), colour, this.axes), `the motif's place in ${colour.name}`);
  }

  /** The place of a motif's lower left corner, so that its middle comes under the hand, at an edge too. @param {number} bead @param {charts.Motif} motif */
  cornerFor(bead, motif) {
    const { row, column } = lattice.place(this.table.chart(), bead);
    const by = lattice.onBeads(Math.floor((motif.rows - 1) / 2), Math.floor((motif.columns - 1) / 2));
    return { row: row - by.rows, column: column - by.columns };
  }

  /** @param {number} bead */
  stamp(bead) {
    if (!this.motif) return;
    this.over.ghost = new Map();
    if (this.isRefused(this.motif.cells.map((cell) => cell.colour))) return;
    this.table.act(charts.stamping(this.table.chart(), this.motif, this.cornerFor(bead, this.motif), this.axes), "a copy of the motif");
  }

  // --- keys on the band

  /** Acts on the bead under the cursor as a press would. */
  pressHere() {
    const chart = this.table.chart();
    const bead = this.over.cursor;
    if (this.tool === "take") return this.take(bead);
    if (this.tool === "pour") return this.pour(bead);
    if (this.tool === "stamp") return this.stamp(bead);
    if (this.tool === "bead") return this.set([bead]);
    if (!this.begun) {
      const from = lattice.place(chart, bead);
      this.begun = { from, to: from };
      this.over.anchor = bead;
      this.table.say(this.tool === "line" ? "The line begins here; Space ends it" : "The motif begins here; Space closes its frame");
    } else {
      const { from } = this.begun;
      const to = lattice.nearest(chart, bead, this.begun.to);
      this.begun = null;
      this.over.anchor = -1;
      this.over.ghost = new Map();
      if (this.tool === "line") this.set(lattice.line(chart, from, to));
      else {
        this.over.box = lattice.boxOf(chart, from, to);
        this.table.say(`A motif of ${lattice.inBox(chart, this.over.box).length} beads is chosen`);
        this.table.changed();
      }
    }
    this.mat.soon();
  }

  /** @param {"left" | "right" | "up" | "down"} way @param {number} times */
  walk(way, times) {
    const chart = this.table.chart();
    const { begun } = this;
    for (let nth = 0; nth < times; nth++) {
      this.over.cursor = lattice.walk(chart, this.over.cursor, way);
      if (begun) begun.to = lattice.nearest(chart, this.over.cursor, begun.to);
    }
    const bead = this.over.cursor;
    if (begun && this.tool === "line") {
      const colour = this.table.inHand();
      this.over.ghost = new Map(lattice.withMirrors(chart, lattice.line(chart, begun.from, begun.to), this.axes).map((each) => [each, colour]));
    }
    if (begun && this.tool === "motif") this.over.box = lattice.boxOf(chart, begun.from, begun.to);
    if (this.tool === "stamp") this.hover(bead);
    this.mat.reveal(bead);
    const { row, column } = lattice.place(chart, bead);
    this.table.say(`row ${row}, column ${column}: ${chart.colours[chart.beads[bead]].name}`);
  }
}

/** How many beads a command changes. @param {Command} command @returns {number} */
export function size(command) {
  if (command.kind === "all") return command.parts.reduce((sum, part) => sum + size(part), 0);
  return command.kind === "beads" ? command.at.length : 0;
}
