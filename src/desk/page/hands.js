// What the hand does on the mat: beads, lines, pouring, taking a colour, motifs; by mouse, pen, finger and keys.

import * as lattice from "./lattice.js";
import * as charts from "./chart.js";

/** @typedef {import('./chart.js').Colour} Colour @typedef {import('./chart.js').Command} Command */
/** @typedef {"bead" | "line" | "pour" | "take" | "motif" | "stamp"} Tool */
/** @typedef {object} Table what the hand works on
 * @property {() => import('./chart.js').Chart} chart @property {() => Colour} inHand @property {(colour: Colour) => void} takeInHand
 * @property {(command: Command | null, said: string) => void} act @property {(words: string) => void} say @property {() => void} changed */

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
    /** @type {{beads: Set<number>, first: number, last: number, moving: boolean, stepped: {rows: number, columns: number}} | null} */
    this.stroke = null;
    /** @type {charts.Motif | null} */
    this.motif = null;
    /** Where a line or a motif was begun by key. */
    this.anchor = -1;
    this.hovered = -1;
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
    this.anchor = -1;
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

  /** Forgets mirrors that the chart has no longer. */
  settle() {
    const chart = this.table.chart();
    this.axes = this.axes.filter((axis) => lattice.hasMirror(chart, axis));
    this.over.axes = this.axes;
  }

  // --- pointer

  /** @param {number} bead @param {PointerEvent} event */
  press(bead, event) {
    if (bead < 0) {
      if (this.tool === "motif") this.letGo();
      return;
    }
    if (event.altKey || this.tool === "take") return this.take(bead);
    if (this.tool === "pour") return this.pour(bead);
    if (this.tool === "stamp") return this.stamp(bead);
    const moving = this.tool === "motif" && this.isInBox(bead);
    this.stroke = { beads: new Set([bead]), first: bead, last: bead, moving, stepped: { rows: 0, columns: 0 } };
    if (this.tool === "motif" && !moving) this.over.box = lattice.boxOf(this.table.chart(), bead, bead);
    this.preview();
  }

  /** @param {number[]} beads */
  drag(beads) {
    const { stroke } = this;
    if (!stroke) return;
    const chart = this.table.chart();
    for (const bead of beads) {
      if (bead === stroke.last) continue;
      if (this.tool === "bead") for (const between of this.between(stroke.last, bead)) stroke.beads.add(between);
      stroke.last = bead;
    }
    if (this.tool === "line") stroke.beads = new Set(lattice.line(chart, stroke.first, stroke.last));
    if (this.tool === "motif" && stroke.moving) {
      const from = lattice.place(chart, stroke.first);
      const to = lattice.place(chart, stroke.last);
      stroke.stepped = lattice.onBeads(to.row - from.row, to.column - from.column);
    } else if (this.tool === "motif") {
      this.over.box = lattice.boxOf(chart, stroke.first, stroke.last);
    }
    this.preview();
  }

  /** The beads between two that a quick hand passed over; a jump round the seam passes over none. @param {number} from @param {number} to */
  between(from, to) {
    const chart = this.table.chart();
    const rows = Math.abs(lattice.place(chart, from).row - lattice.place(chart, to).row);
    return chart.closed && rows > chart.rows / 2 ? [to] : lattice.line(chart, from, to);
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
    if (this.tool === "stamp" && this.motif) this.ghostOf(charts.stamping(this.table.chart(), this.motif, this.cornerFor(bead), this.axes), bead >= 0);
  }

  preview() {
    const { stroke } = this;
    if (!stroke) return;
    const chart = this.table.chart();
    if (this.tool === "motif") {
      if (stroke.moving && this.over.box)
        this.ghostOf(charts.moving(chart, this.over.box, stroke.stepped.rows, stroke.stepped.columns, charts.commonest(chart)), true);
    } else {
      const colour = this.table.inHand();
      this.over.ghost = new Map(lattice.withMirrors(chart, stroke.beads, this.axes).map((bead) => [bead, colour]));
    }
    this.mat.soon();
  }

  /** Shows what a command would do. @param {Command | null} command @param {boolean} shown */
  ghostOf(command, shown) {
    const ghost = new Map();
    if (shown && command) {
      const chart = this.table.chart();
      const after = charts.apply(chart, command);
      for (const part of command.kind === "all" ? command.parts : [command]) {
        if (part.kind === "beads") for (const bead of part.at) ghost.set(bead, after.colours[after.beads[bead]]);
      }
    }
    this.over.ghost = ghost;
    this.mat.soon();
  }

  // --- deeds

  /** @param {Iterable<number>} beads */
  set(beads) {
    const chart = this.table.chart();
    const colour = this.table.inHand();
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
    const command = charts.colouring(chart, charts.patch(chart, bead), colour, this.axes);
    this.table.act(command, `a patch of ${command ? size(command) : 0} in ${colour.name}`);
  }

  /** @param {number} bead */
  isInBox(bead) {
    const { box } = this.over;
    const { row, column } = lattice.place(this.table.chart(), bead);
    return box !== null && row >= box.bottom && row <= box.top && column >= box.left && column <= box.right;
  }

  /** @param {number} rows @param {number} columns */
  move(rows, columns) {
    const chart = this.table.chart();
    const { box } = this.over;
    const by = lattice.onBeads(rows, columns);
    if (!box || (!by.rows && !by.columns)) return;
    const command = charts.moving(chart, box, by.rows, by.columns, charts.commonest(chart));
    this.table.act(command, "the motif moved");
    const clamp = (/** @type {number} */ value, /** @type {number} */ most) => Math.max(1, Math.min(most, value));
    this.over.box = {
      left: clamp(box.left + by.columns, chart.columns),
      right: clamp(box.right + by.columns, chart.columns),
      bottom: clamp(box.bottom + by.rows, chart.rows),
      top: clamp(box.top + by.rows, chart.rows),
    };
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
    const corner = lattice.index(chart, box.bottom, Math.max(left, lattice.firstColumn(box.bottom)));
    const width = box.right - box.left + 1;
    if (width % 2 === 0 || left < 1) return this.table.say("Turn over a motif of an odd number of columns that begins on a bead of its lowest row");
    this.table.act(charts.stamping(chart, motif, corner), "the motif turned over");
  }

  /** @param {Colour} colour */
  fillBox(colour) {
    const chart = this.table.chart();
    if (this.over.box) this.table.act(charts.colouring(chart, lattice.inBox(chart, this.over.box), colour, this.axes), `the motif's place in ${colour.name}`);
  }

  /** The bead for a motif's lower left corner, so that its middle comes under the hand. @param {number} bead */
  cornerFor(bead) {
    const chart = this.table.chart();
    if (bead < 0 || !this.motif) return 0;
    const { row, column } = lattice.place(chart, bead);
    const columns = Math.floor((this.motif.columns - 1) / 2);
    const rows = Math.floor((this.motif.rows - 1) / 2);
    const by = lattice.onBeads(rows, columns);
    const corner = { row: lattice.wrapped(chart, row - by.rows), column: column - by.columns };
    const found = lattice.index(chart, corner.row, corner.column);
    if (found >= 0) return found;
    // Too near an edge: the nearest bead of the lattice there.
    const inside = Math.max(corner.row % 2 ? 1 : 2, Math.min(chart.columns, corner.column));
    return Math.max(0, lattice.index(chart, Math.max(1, corner.row), inside));
  }

  /** @param {number} bead */
  stamp(bead) {
    if (!this.motif) return;
    this.over.ghost = new Map();
    this.table.act(charts.stamping(this.table.chart(), this.motif, this.cornerFor(bead), this.axes), "a copy of the motif");
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
    if (this.anchor < 0) {
      this.anchor = bead;
      this.over.anchor = bead;
      this.table.say(this.tool === "line" ? "The line begins here; Space ends it" : "The motif begins here; Space closes its frame");
    } else {
      const from = this.anchor;
      this.anchor = -1;
      this.over.anchor = -1;
      this.over.ghost = new Map();
      if (this.tool === "line") this.set(lattice.line(chart, from, bead));
      else {
        this.over.box = lattice.boxOf(chart, from, bead);
        this.table.say(`A motif of ${lattice.inBox(chart, this.over.box).length} beads is chosen`);
        this.table.changed();
      }
    }
    this.mat.soon();
  }

  /** @param {"left" | "right" | "up" | "down"} way @param {number} times */
  walk(way, times) {
    const chart = this.table.chart();
    for (let nth = 0; nth < times; nth++) this.over.cursor = lattice.walk(chart, this.over.cursor, way);
    const bead = this.over.cursor;
    if (this.anchor >= 0 && this.tool === "line") {
      const colour = this.table.inHand();
      this.over.ghost = new Map(lattice.withMirrors(chart, lattice.line(chart, this.anchor, bead), this.axes).map((each) => [each, colour]));
    }
    if (this.anchor >= 0 && this.tool === "motif") this.over.box = lattice.boxOf(chart, this.anchor, bead);
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
