// The chart: read from the chart file's JSON, written as the very bytes of the command line, changed by commands that have inverses.
// Charts are never changed in place: a command makes a new one.

import * as lattice from "./lattice.js";

/** @typedef {{code: string, name: string, hex: string, finish?: string}} Colour A colour as the chart names it. */
/** @typedef {{source: string, sha256: string, options: Record<string, string>, version: string}} Made How the chart was made. */
/** @typedef {{length_mm: number, diameter_mm: number, hole_mm: number}} Bead */
/** @typedef {object} Chart
 * @property {string} [title] @property {string} [notes] @property {Bead} bead @property {number} columns @property {number} rows
 * @property {boolean} closed @property {Colour[]} colours @property {Uint16Array} beads each bead's place in colours, in lattice order
 * @property {Made} made */
/** @typedef {{kind: "beads", at: number[], from: number[], to: number[]}} BeadsCommand beads that change colour
 * @typedef {{kind: "colours", from: Colour[], to: Colour[]}} ColoursCommand the list of colours is another; beads keep their numbers
 * @typedef {{kind: "turn", round: number, across: number}} TurnCommand the pattern moves round and across
 * @typedef {{kind: "rows", at: number, pairs: number, into: boolean, beads: number[]}} RowsCommand pairs of rows are let in or taken out
 * @typedef {{kind: "columns", at: number, pairs: number, into: boolean, beads: number[]}} ColumnsCommand the same of columns
 * @typedef {{kind: "words", from: Words, to: Words}} WordsCommand the title or the notes change
 * @typedef {{kind: "whole", from: Chart, to: Chart}} WholeCommand another chart altogether
 * @typedef {{kind: "all", parts: Command[]}} AllCommand several, in order
 * @typedef {{title?: string, notes?: string}} Words
 * @typedef {BeadsCommand|ColoursCommand|TurnCommand|RowsCommand|ColumnsCommand|WordsCommand|WholeCommand|AllCommand} Command */
/** @typedef {{columns: number, rows: number, cells: {row: number, column: number, colour: Colour}[]}} Motif beads lifted from a chart; places count from 0 at
 * the lower left corner, whose row and column were both odd or both even */

/** The chart of a chart file's text, which the program has read and found good. @param {string} text @returns {Chart} */
export function read(text) {
  const file = JSON.parse(text);
  const { format: _format, version: _version, rows, ...rest } = file;
  const chart = { ...rest, rows: rows.length };
  const beads = new Uint16Array(lattice.count(chart));
  let at = 0;
  for (const row of rows) for (const colour of row) beads[at++] = colour;
  if (at !== beads.length) throw new Error("the rows do not fill the band");
  return { ...chart, beads };
}

/** The text of the chart's file, byte for byte as the command line writes it. @param {Chart} chart */
export function write(chart) {
  const { bead } = chart;
  const quoted = JSON.stringify;
  const lines = (/** @type {string[]} */ items) => items.map((item) => "    " + item).join(",\n") + (items.length ? "\n" : "");
  let text = '{\n  "format": "upbead-chart",\n  "version": 1,\n';
  if (chart.title !== undefined) text += `  "title": ${quoted(chart.title)},\n`;
  if (chart.notes !== undefined) text += `  "notes": ${quoted(chart.notes)},\n`;
  text += `  "bead": {"length_mm": ${bead.length_mm}, "diameter_mm": ${bead.diameter_mm}, "hole_mm": ${bead.hole_mm}},\n`;
  text += `  "columns": ${chart.columns},\n  "closed": ${chart.closed},\n  "colours": [\n`;
  text += lines(
    chart.colours.map(
      (colour) =>
        `{"code": ${quoted(colour.code)}, "name": ${quoted(colour.name)}, "hex": "${colour.hex}"${colour.finish ? `, "finish": "${colour.finish}"` : ""}}`,
    ),
  );
  text += '  ],\n  "rows": [\n';
  const rows = [];
  for (let row = 1; row <= chart.rows; row++) {
    const start = lattice.rowStart(chart, row);
    rows.push(`[${chart.beads.subarray(start, start + lattice.beadsIn(chart, row)).join(",")}]`);
  }
  text += lines(rows) + "  ],\n";
  const { made } = chart;
  text += `  "made": {\n    "source": ${quoted(made.source)},\n    "sha256": ${quoted(made.sha256)},\n    "options": {`;
  const options = Object.entries(made.options);
  if (options.length) text += "\n" + lines(options.map(([name, value]) => `  ${quoted(name)}: ${quoted(value)}`)) + "    ";
  return text + `},\n    "version": ${quoted(made.version)}\n  }\n}\n`;
}

/** A chart that was changed by hand says so among the options it was made with, since it cannot be made again from them alone.
 * @param {Chart} chart @returns {Chart} */
export function mended(chart) {
  return { ...chart, made: { ...chart.made, options: { ...chart.made.options, mended: "by hand" } } };
}

/** How many beads each colour has. @param {Chart} chart */
export function counts(chart) {
  const counts = new Array(chart.colours.length).fill(0);
  for (const colour of chart.beads) counts[colour]++;
  return counts;
}

/** The chart after a command. @param {Chart} chart @param {Command} command @returns {Chart} */
export function apply(chart, command) {
  switch (command.kind) {
    case "beads": {
      const beads = chart.beads.slice();
      command.at.forEach((bead, nth) => {
        beads[bead] = command.to[nth];
      });
      return { ...chart, beads };
    }
    case "colours":
      return { ...chart, colours: command.to };
    case "turn": {
      const from = lattice.turned(chart, command.round, command.across);
      return { ...chart, beads: Uint16Array.from(from, (bead) => chart.beads[bead]) };
    }
    case "rows":
      return command.into ? letIn(chart, command, lattice.rowsLetIn(chart, command.at, command.pairs)) : takeOut(chart, command);
    case "columns": {
      if (!command.into) return takeOut(chart, command);
      const { wider, from } = lattice.columnsLetIn(chart, command.at, command.pairs);
      return letIn(chart, command, { longer: wider, from });
    }
    case "words": {
      const { title: _title, notes: _notes, ...rest } = chart;
      return { ...rest, ...command.to };
    }
    case "whole":
      return command.to;
    case "all":
      return command.parts.reduce(apply, chart);
  }
}

/** What undoes a command. @param {Command} command @returns {Command} */
export function inverse(command) {
  switch (command.kind) {
    case "beads":
      return { ...command, from: command.to, to: command.from };
    case "colours":
      return { ...command, from: command.to, to: command.from };
    case "turn":
      return { ...command, round: -command.round, across: -command.across };
    case "rows":
      return { ...command, into: !command.into };
    case "columns":
      return { ...command, into: !command.into };
    case "words":
      return { ...command, from: command.to, to: command.from };
    case "whole":
      return { ...command, from: command.to, to: command.from };
    case "all":
      return { kind: "all", parts: command.parts.map(inverse).reverse() };
  }
}

/** @param {Chart} chart @param {RowsCommand|ColumnsCommand} command @param {{longer: lattice.Shape, from: Int32Array}} plan @returns {Chart} */
function letIn(chart, command, { longer, from }) {
  let next = 0;
  const beads = Uint16Array.from(from, (bead) => (bead >= 0 ? chart.beads[bead] : command.beads[next++]));
  return { ...chart, rows: longer.rows, columns: longer.columns, beads };
}

/** @param {Chart} chart @param {RowsCommand|ColumnsCommand} command @returns {Chart} */
function takeOut(chart, command) {
  const { shape, from } = without(chart, command.kind, command.at, command.pairs);
  const beads = new Uint16Array(lattice.count(shape));
  from.forEach((bead, at) => {
    if (bead >= 0) beads[bead] = chart.beads[at];
  });
  return { ...chart, rows: shape.rows, columns: shape.columns, beads };
}

/** @param {Chart} chart @param {"rows"|"columns"} kind @param {number} at @param {number} pairs */
function without(chart, kind, at, pairs) {
  const { columns, rows, closed } = chart;
  if (kind === "rows") {
    const shape = { columns, closed, rows: rows - 2 * pairs };
    return { shape, from: lattice.rowsLetIn(shape, at, pairs).from };
  }
  const shape = { rows, closed, columns: columns - 2 * pairs };
  return { shape, from: lattice.columnsLetIn(shape, at, pairs).from };
}

/** Beads get a colour, and with `axes` their mirror images too; none if nothing would change.
 * @param {Chart} chart @param {Iterable<number>} beads @param {Colour} colour @param {("columns"|"rows")[]} [axes] @returns {Command|null} */
export function colouring(chart, beads, colour, axes = []) {
  const known = chart.colours.findIndex((other) => other.code === colour.code);
  const to = known < 0 ? chart.colours.length : known;
  const at = lattice.withMirrors(chart, beads, axes).filter((bead) => bead >= 0 && chart.beads[bead] !== to);
  if (!at.length) return null;
  /** @type {Command} */
  const change = { kind: "beads", at, from: at.map((bead) => chart.beads[bead]), to: at.map(() => to) };
  return known < 0 ? { kind: "all", parts: [adding(chart, [colour]), change] } : change;
}

/** @param {Chart} chart @param {Colour[]} colours @returns {ColoursCommand} */
function adding(chart, colours) {
  return { kind: "colours", from: chart.colours, to: [...chart.colours, ...colours.map(plain)] };
}

/** Whether two palettes mean the same colour by a code. @param {Colour} one @param {Colour} other */
export function isSame(one, other) {
  return one.code === other.code && one.name === other.name && one.hex.toUpperCase() === other.hex.toUpperCase();
}

/** The chart's colour that has a colour's code and is another one: beside it that colour cannot be laid, since a chart's codes are its own.
 * @param {Chart} chart @param {Colour} colour */
export function namesake(chart, colour) {
  return chart.colours.find((other) => other.code === colour.code && !isSame(other, colour));
}

/** A colour with what a chart keeps of it. @param {Colour} colour @returns {Colour} */
export function plain({ code, name, hex, finish }) {
  return finish ? { code, name, hex, finish } : { code, name, hex };
}

/** The beads of one colour that hang together with a bead, itself among them. @param {Chart} chart @param {number} start */
export function patch(chart, start) {
  const seen = new Set([start]);
  const open = [start];
  for (let bead = open.pop(); bead !== undefined; bead = open.pop()) {
    for (const next of lattice.neighbours(chart, bead)) {
      if (!seen.has(next) && chart.beads[next] === chart.beads[start]) {
        seen.add(next);
        open.push(next);
      }
    }
  }
  return [...seen];
}

/** One colour takes the place of another everywhere; none if no bead has it. @param {Chart} chart @param {string} code @param {Colour} by @returns {Command|null} */
export function replacing(chart, code, by) {
  const from = chart.colours.findIndex((colour) => colour.code === code);
  const beads = [];
  for (let bead = 0; bead < chart.beads.length; bead++) if (chart.beads[bead] === from) beads.push(bead);
  return colouring(chart, beads, by);
}

/** The pattern moves so many beads round and across. @param {number} round @param {number} across @returns {TurnCommand} */
export function turning(round, across) {
  return { kind: "turn", round, across };
}

/** Pairs of rows are let in below row `at`, alike to the two rows there (as a resized plain stretch would be).
 * @param {Chart} chart @param {number} at @param {number} [pairs] @returns {Command|null} */
export function lettingInRows(chart, at, pairs = 1) {
  const { from, longer } = lattice.rowsLetIn(chart, at, pairs);
  if (longer.rows > lattice.LIMITS.rows || lattice.count(longer) > lattice.LIMITS.beads) return null;
  const beads = news(from).map((bead) => {
    const { row, column } = lattice.place(longer, bead);
    let near = at + ((row - at) % 2);
    if (near > chart.rows) near -= 2;
    return chart.beads[lattice.index(chart, near, column)];
  });
  return { kind: "rows", at, pairs, into: true, beads };
}

/** Pairs of rows are taken out from row `at` on; none if too few would stay. @param {Chart} chart @param {number} at @param {number} [pairs] @returns {Command|null} */
export function takingOutRows(chart, at, pairs = 1) {
  const fewest = chart.closed ? lattice.LIMITS.closed : lattice.LIMITS.open;
  if (chart.rows - 2 * pairs < fewest) return null;
  return taking(chart, "rows", Math.min(at, chart.rows - 2 * pairs + 1), pairs);
}

/** Pairs of columns are let in left of column `at`, alike to the two columns there. @param {Chart} chart @param {number} at @returns {Command|null} */
export function lettingInColumns(chart, at) {
  const { from, wider } = lattice.columnsLetIn(chart, at, 1);
  if (wider.columns > lattice.LIMITS.columns[1] || lattice.count(wider) > lattice.LIMITS.beads) return null;
  const beads = news(from).map((bead) => {
    const { row, column } = lattice.place(wider, bead);
    const near = at <= chart.columns - 1 ? column : column - 2;
    return chart.beads[lattice.index(chart, row, near)];
  });
  return { kind: "columns", at, pairs: 1, into: true, beads };
}

/** A pair of columns is taken out from column `at` on; none if too few would stay. @param {Chart} chart @param {number} at @returns {Command|null} */
export function takingOutColumns(chart, at) {
  if (chart.columns - 2 < lattice.LIMITS.columns[0]) return null;
  return taking(chart, "columns", Math.min(at, chart.columns - 1), 1);
}

/** A pair of columns more or fewer along both edges together, so that the middle stays the middle. @param {Chart} chart @param {boolean} into @returns {Command|null} */
export function edging(chart, into) {
  const first = into ? lettingInColumns(chart, 1) : takingOutColumns(chart, 1);
  if (!first) return null;
  const between = apply(chart, first);
  const second = into ? lettingInColumns(between, between.columns + 1) : takingOutColumns(between, between.columns - 1);
  return second && { kind: "all", parts: [first, second] };
}

/** @param {Int32Array} from */
function news(from) {
  const beads = [];
  for (let bead = 0; bead < from.length; bead++) if (from[bead] < 0) beads.push(bead);
  return beads;
}

/** @param {Chart} chart @param {"rows"|"columns"} kind @param {number} at @param {number} pairs @returns {Command} */
function taking(chart, kind, at, pairs) {
  const { from } = without(chart, kind, at, pairs);
  return { kind, at, pairs, into: false, beads: news(from).map((bead) => chart.beads[bead]) };
}

/** The beads of a box, lifted. @param {Chart} chart @param {lattice.Box} box @returns {Motif} */
export function lifted(chart, box) {
  // The corner keeps to places where row and column are both odd or both even, so that it can be laid down on any bead.
  const left = (box.left + box.bottom) % 2 ? box.left - 1 : box.left;
  const cells = lattice
    .placesIn(chart, box)
    .map(({ bead, row, column }) => ({ row: row - box.bottom, column: column - left, colour: chart.colours[chart.beads[bead]] }));
  return { rows: box.top - box.bottom + 1, columns: box.right - left + 1, cells };
}

/** A motif with left and right exchanged; none of an even width, whose image falls between beads. @param {Motif} motif @returns {Motif} */
export function flipped(motif) {
  const width = motif.columns % 2 ? motif.columns : motif.columns + 1;
  return { ...motif, columns: width, cells: motif.cells.map((cell) => ({ ...cell, column: width - 1 - cell.column })) };
}

/** A motif is laid down with its lower left corner at a bead's place, or where one would be beyond an edge; what lies beyond an edge is left out,
 * a closed band wraps. @param {Chart} chart @param {Motif} motif @param {lattice.Place} corner @param {("columns"|"rows")[]} [axes] @returns {Command|null} */
export function stamping(chart, motif, corner, axes = []) {
  const { row, column } = corner;
  /** @type {Map<number, Colour>} */
  const wanted = new Map();
  for (const cell of motif.cells) {
    const bead = lattice.beadAt(chart, { row: row + cell.row, column: column + cell.column });
    if (bead < 0) continue;
    for (const each of lattice.withMirrors(chart, [bead], axes)) if (each === bead || !wanted.has(each)) wanted.set(each, cell.colour);
  }
  return painting(chart, wanted);
}

/** A motif moves, as far as the edges allow: its own place takes the ground's colour, then it is laid down. @param {Chart} chart @param {lattice.Box} box @param {number} rows
 * @param {number} columns @param {Colour} ground @returns {Command|null} */
export function moving(chart, box, rows, columns, ground) {
  const by = lattice.within(chart, box, rows, columns);
  /** @type {Map<number, Colour>} */
  const wanted = new Map(lattice.inBox(chart, box).map((bead) => [bead, ground]));
  for (const bead of lattice.inBox(chart, box)) {
    const to = lattice.step(chart, bead, by.rows, by.columns);
    if (to >= 0) wanted.set(to, chart.colours[chart.beads[bead]]);
  }
  return painting(chart, wanted);
}

/** @param {Chart} chart @param {Map<number, Colour>} wanted @returns {Command|null} */
function painting(chart, wanted) {
  const numbers = new Map(chart.colours.map((colour, at) => [colour.code, at]));
  /** @type {Colour[]} */
  const more = [];
  for (const colour of wanted.values()) {
    if (!numbers.has(colour.code)) {
      numbers.set(colour.code, chart.colours.length + more.length);
      more.push(colour);
    }
  }
  /** @type {BeadsCommand} */
  const change = { kind: "beads", at: [], from: [], to: [] };
  for (const [bead, colour] of wanted) {
    const to = numbers.get(colour.code) ?? 0;
    if (chart.beads[bead] === to) continue;
    change.at.push(bead);
    change.from.push(chart.beads[bead]);
    change.to.push(to);
  }
  if (!change.at.length) return null;
  return more.length ? { kind: "all", parts: [adding(chart, more), change] } : change;
}

/** The colour that most beads have. @param {Chart} chart */
export function commonest(chart) {
  const all = counts(chart);
  return chart.colours[all.indexOf(Math.max(...all))];
}

/** The beads whose colours a command sets, or none if it moves beads or makes the chart anew. @param {Command} command @returns {number[] | null} */
function beadsSet(command) {
  if (command.kind === "beads") return command.at;
  if (command.kind === "words" || command.kind === "colours") return [];
  if (command.kind !== "all") return null;
  const parts = command.parts.map(beadsSet);
  return parts.every((part) => part !== null) ? parts.flat() : null;
}

/** Whether a chart was refined or moved onto another palette: bead for bead the same band. @param {Command} command */
function isAnew(command) {
  return command.kind === "all" && command.parts.length === 1 && command.parts[0].kind === "whole";
}

/** What was done, with undo and redo without limit. A new deed forgets what could have been redone. */
export class History {
  /** @param {Chart} chart */
  constructor(chart) {
    /** The chart as it is now. */
    this.chart = chart;
    /** @type {{command: Command, said: string}[]} */
    this.done = [];
    /** @type {{command: Command, said: string}[]} */
    this.undone = [];
  }

  /** @param {Command} command @param {string} said what was done, as a person reads it */
  add(command, said) {
    this.chart = apply(this.chart, command);
    this.done.push({ command, said });
    this.undone = [];
  }

  /** Takes the last deed back; its words, or none if there is none. */
  undo() {
    const last = this.done.pop();
    if (!last) return null;
    this.chart = apply(this.chart, inverse(last.command));
    this.undone.push(last);
    return last.said;
  }

  /** Does again what was taken back last. */
  redo() {
    const next = this.undone.pop();
    if (!next) return null;
    this.chart = apply(this.chart, next.command);
    this.done.push(next);
    return next.said;
  }

  /** The beads set by hand since the chart came out of a picture or a file, each once; none if beads have moved since. @returns {number[] | null} */
  mendedBeads() {
    /** @type {Set<number>} */
    const all = new Set();
    for (let at = this.done.length - 1; at >= 0; at--) {
      const { command } = this.done[at];
      if (command.kind === "whole") break;
      if (isAnew(command)) continue;
      const set = beadsSet(command);
      if (!set) return null;
      for (const bead of set) all.add(bead);
    }
    return [...all];
  }

  /** Whether beads were changed by hand since the chart came out of a picture or a file. */
  isMended() {
    for (let at = this.done.length - 1; at >= 0; at--) {
      const { kind } = this.done[at].command;
      if (kind === "whole") return false;
      if (kind !== "words") return true;
    }
    return false;
  }
}
