// What is shown and announced: the current step, what comes after it, and the buttons.

/** @import { Work, Step } from "./work.js" */
/** @import { Progress } from "./place.js" */
import { beadCount, beadsBefore, colourHex, colourName, countedBeads } from "./work.js";
import { grouped, runsInWords, runsOf, shownWay, totalBeads } from "./work.js";
import { beadElement, create, icon, partElement, wantsMotion } from "./parts.js";
import { ChartView } from "./chart.js";
import { Sheet } from "./sheet.js";

/** A row with more runs is set smaller. */
const MANY_RUNS = 8;
/** Words up to this length are not broken. */
const SHORT_WORDS = 18;
/** The picked beads of a step in which nobody counts. */
const NOT_COUNTING = -1;

/**
 * @typedef {object} Actions
 * @property {() => void} next
 * @property {() => void} back
 * @property {() => void} undo
 * @property {() => void} toggleCounting
 * @property {() => void} toggleTurned
 * @property {() => void} restart
 * @property {(row: number) => void} goToRow
 * @property {() => void} save
 * @property {(file: File) => void} open
 */

export class View {
  /**
   * @param {Work} work
   * @param {Actions} actions
   */
  constructor(work, actions) {
    this.work = work;
    this.total = totalBeads(work);
    this.count = create("p", { class: "follow-count" });
    this.progress = create("progress", {
      max: Math.max(this.total, 1),
      value: 0,
      "aria-label": "Beads woven",
    });
    const title = create("h1", {}, work.title);
    this.head = create("header", { class: "follow-head" }, title, this.count, this.progress);
    this.chart = new ChartView(work);
    this.step = create("div", { class: "follow-step" });
    const card = { class: "follow-card", "aria-label": "Current step" };
    this.card = create("section", card, this.chart.element, this.step);
    this.sheet = new Sheet(work, actions);
    this.buttons = newButtons(actions, () => this.sheet.element.showModal());
    this.live = create("p", {
      class: "follow-hidden",
      role: "status",
      "aria-live": "polite",
      "aria-atomic": "true",
    });
    const parts = [this.head, this.card, this.buttons.footer, this.live, this.sheet.element];
    this.root = create("div", { class: "follow" }, ...parts);
    const [beadWide = 1, beadHigh = 1] = work.band.bead;
    this.root.style.setProperty("--bead-wide", String(beadWide));
    this.root.style.setProperty("--bead-high", String(beadHigh));
    this.observer = new ResizeObserver(() => this.measure());
    this.observer.observe(this.buttons.footer);
    this.observer.observe(this.head);
    /** The step that is shown, or -1. */
    this.shown = -1;
  }

  /** Tells the style how high the parts are that stay in sight. */
  measure() {
    for (const [name, part] of /** @type {const} */ ([
      ["--foot", this.buttons.footer],
      ["--head", this.head],
    ])) {
      const { height } = part.getBoundingClientRect();
      this.root.style.setProperty(name, `${Math.ceil(height)}px`);
    }
  }

  /** @param {Progress} progress */
  show(progress) {
    const { work, buttons } = this;
    const { place, past, counting } = progress;
    const step = work.steps[place.step];
    if (!step) return;
    const woven = beadsBefore(work, place);
    this.count.textContent = `${grouped(woven)} of ${countedBeads(this.total)}`;
    this.progress.value = woven;
    this.root.dataset.kind = step.kind;
    this.root.dataset.counting = String(counting);
    this.step.replaceChildren(...stepElements(work, progress));
    this.chart.show(place, { isCounting: counting });
    this.sheet.turned.setAttribute("aria-pressed", String(progress.isTurned));
    buttons.count.setAttribute("aria-pressed", String(counting));
    setDisabled(buttons.undo, past.length === 0);
    setDisabled(buttons.back, place.step === 0 && place.bead === 0);
    setDisabled(buttons.next, place.step + 1 === work.steps.length);
    const { words, direction } = nextLabel(work, progress);
    buttons.nextWords.textContent = words;
    buttons.nextDirection.replaceChildren(...(direction ? [icon(direction)] : []));
    if (this.shown !== -1 && this.shown !== place.step) this.startStep();
    this.shown = place.step;
    if (counting) this.step.querySelector(".is-current")?.scrollIntoView({ block: "nearest" });
  }

  /** A new step begins at its top. */
  startStep() {
    window.scrollTo(0, 0);
    if (!wantsMotion()) return;
    const fade = [{ opacity: 0.3 }, { opacity: 1 }];
    this.step.animate(fade, { duration: 160, easing: "ease-out" });
  }

  /**
   * Announces something to those who listen.
   * @param {string} words
   */
  announce(words) {
    this.live.textContent = words;
  }

  stop() {
    this.observer.disconnect();
    this.chart.stop();
  }
}

/**
 * A button that keeps the focus although it does nothing now.
 * @param {HTMLElement} button
 * @param {boolean} isDisabled
 */
function setDisabled(button, isDisabled) {
  button.setAttribute("aria-disabled", String(isDisabled));
}

/**
 * The buttons below the step.
 * @param {Actions} actions
 * @param {() => void} showSheet
 */
function newButtons(actions, showSheet) {
  const button = { type: "button" };
  const count = create(
    "button",
    { ...button, "aria-pressed": "false", click: actions.toggleCounting },
    icon("beads"),
    create("span", {}, "Bead by bead"),
  );
  const undo = create(
    "button",
    { ...button, click: actions.undo },
    icon("undo"),
    create("span", {}, "Undo"),
  );
  const more = create(
    "button",
    { ...button, "aria-haspopup": "dialog", click: showSheet },
    icon("more"),
    create("span", {}, "More"),
  );
  const back = create("button", { ...button, class: "follow-back", click: actions.back }, "Back");
  const nextWords = create("span", {});
  const nextDirection = create("span", { class: "follow-next-direction" });
  const next = create(
    "button",
    { ...button, class: "follow-next", click: actions.next },
    nextWords,
    nextDirection,
  );
  const footer = create(
    "div",
    { class: "follow-footer", role: "group", "aria-label": "Steps" },
    create("div", { class: "follow-tools" }, count, undo, more),
    create("div", { class: "follow-buttons" }, back, next),
  );
  return { footer, count, undo, back, next, nextWords, nextDirection };
}

/**
 * What the large button says, and the direction of the row that it leads to.
 * @param {Work} work
 * @param {Progress} progress
 * @returns {{words: string, direction?: "left" | "right"}}
 */
function nextLabel(work, { place, counting, isTurned }) {
  const step = work.steps[place.step];
  if (counting && step && place.bead < beadCount(step)) {
    const isLast = place.bead + 1 === beadCount(step);
    const hasTurn = step.turn !== undefined && step.turn.kind !== "end";
    return { words: isLast && hasTurn ? "Next: the turn" : "Next bead" };
  }
  const after = work.steps[place.step + 1];
  if (!after) return { words: "Done" };
  if (after.part) return { words: "Next" };
  if (after.kind === "done") return { words: "Finish" };
  const direction = after.kind === "row" ? shownWay(work, after, isTurned) : undefined;
  return { words: `Next: ${lowerFirst(after.name)}`, direction };
}

/** @param {string} words */
function lowerFirst(words) {
  return words.charAt(0).toLowerCase() + words.slice(1);
}

/**
 * What the current step shows.
 * @param {Work} work
 * @param {Progress} progress
 * @returns {HTMLElement[]}
 */
function stepElements(work, progress) {
  const { place, counting, isTurned } = progress;
  const step = /** @type {Step} */ (work.steps[place.step]);
  const picked = counting ? place.bead : NOT_COUNTING;
  const text = stepText(work, step, isTurned).map((words) =>
    create("p", { class: "follow-text" }, words),
  );
  const elements = [headingElement(step, shownWay(work, step, isTurned))];
  // In a row the beads come first; sewing is told in words.
  if (step.kind === "sewn") elements.push(...text, ...drawingElements(step));
  if (step.kind === "done") elements.push(...doneElements(work));
  if (step.runs) elements.push(rowElement(work, step, { picked, isTurned }));
  if (step.kind === "row" || step.kind === "strung") {
    elements.push(throughElement(work, step, picked), ...text, ...drawingElements(step));
  }
  for (const note of step.notes ?? []) elements.push(partElement(note, "follow-notes"));
  const after = work.steps[place.step + 1];
  if (after) elements.push(afterElement(work, after, shownWay(work, after, isTurned)));
  return elements;
}

/** A word for a side. */
const SIDE = /\b(left|right)\b/;

/**
 * The words of a step, with what the arrows and sides in them mean.
 * @param {Work} work
 * @param {Step} step
 * @param {boolean} isTurned
 */
function stepText({ turning }, step, isTurned) {
  const text = step.text ?? [];
  if (!turning) return text;
  if (step.reading) return [...text, isTurned ? turning.over : turning.same];
  const hasSides = text.some((words) => SIDE.test(words));
  return isTurned && step.kind === "sewn" && hasSides ? [turning.sides, ...text] : text;
}

/** @param {Step} step */
function drawingElements({ drawing }) {
  if (!drawing) return [];
  return [create("img", { class: "follow-drawing", src: drawing.source, alt: drawing.shows })];
}

/**
 * @param {Step} step
 * @param {"left" | "right" | undefined} way
 */
function headingElement(step, way) {
  const title = create("h2", {}, step.name);
  if (step.part) title.append(" ", create("small", {}, step.part));
  const heading = create("div", { class: "follow-heading" }, title);
  if (way) {
    const words = ` to the ${way}, ${countedBeads(beadCount(step))}`;
    heading.append(create("p", { class: "follow-direction" }, icon(way), words));
  }
  return heading;
}

/**
 * The row's beads on their thread in pick-up order, and the turn at its end.
 * @param {Work} work
 * @param {Step} step
 * @param {{picked: number, isTurned: boolean}} state how many beads are picked up, and whether the
 *   work is turned over after each row
 */
function rowElement(work, step, { picked, isTurned }) {
  const runs = step.runs ?? [];
  const list = create("ol", { class: "follow-runs", role: "list" });
  let before = 0;
  for (const [colour, count] of runs) {
    const at = picked === NOT_COUNTING ? NOT_COUNTING : Math.max(picked - before, 0);
    const isCurrent = picked >= before && picked < before + count;
    list.append(runElement(work, { colour, count, at, isCurrent }));
    before += count;
  }
  const size = runs.length > MANY_RUNS ? "follow-row is-many" : "follow-row";
  const row = create("div", { class: size }, list);
  const sides = isTurned ? work.turning?.sides : undefined;
  if (step.turn) row.append(turnElement(step.turn, { isCurrent: picked >= before, sides }));
  return row;
}

/**
 * A run of beads of one colour, with its count and its name.
 * @param {Work} work
 * @param {{colour: number, count: number, at: number, isCurrent: boolean}} run `at`: how many of
 *   its beads are picked up
 */
function runElement(work, { colour, count, at, isCurrent }) {
  const beads = create("span", { class: "follow-beads", "aria-hidden": "true" });
  beads.style.setProperty("--many", String(count));
  const hex = colourHex(work, colour);
  for (let nth = 0; nth < count; nth += 1) {
    beads.append(beadElement(hex, at === NOT_COUNTING ? "" : beadState(nth, at, isCurrent)));
  }
  const isDone = at >= count;
  const label = create("span", {}, create("span", { class: "name" }, colourName(work, colour)));
  if (isDone) label.append(" ", create("span", { class: "follow-check" }, icon("done")));
  if (isCurrent) {
    label.append(" ", create("span", { class: "follow-picked" }, `${at + 1} of ${count}`));
  }
  const number = create("b", { class: "count" }, String(count));
  const words = create("span", { class: "follow-run" }, number, " ", label);
  const state = isCurrent ? "is-current" : isDone ? "is-done" : "";
  return create("li", { class: state, "data-colour": colour }, beads, words);
}

/**
 * The state of a bead while counting.
 * @param {number} nth in its run
 * @param {number} at how many beads of the run are picked up
 * @param {boolean} isCurrent whether the next bead is in this run
 */
function beadState(nth, at, isCurrent) {
  if (nth < at) return "is-picked";
  return isCurrent && nth === at ? "is-next" : "is-waiting";
}

/**
 * @param {import("./work.js").Turn} turn
 * @param {{isCurrent: boolean, sides?: string}} state whether the turn comes next, and what left
 *   and right mean if the work is turned over after each row
 */
function turnElement(turn, { isCurrent, sides }) {
  const name = create("span", { class: "follow-turn-name" }, turn.words);
  const sign = create("span", { class: "follow-turn-icon" }, icon(turn.kind));
  const attributes = { class: isCurrent ? "follow-turn is-current" : "follow-turn" };
  if (!turn.how) return create("p", attributes, sign, name);
  const summary = create("summary", {}, sign, name);
  const open = { ...attributes, open: turn.first };
  const words = sides && SIDE.test(turn.how) ? [turn.how, sides] : [turn.how];
  return create("details", open, summary, ...words.map((each) => create("p", {}, each)));
}

/**
 * What the needle goes through: in the whole row, or after the current bead.
 * @param {Work} work
 * @param {Step} step
 * @param {number} picked
 */
function throughElement(work, step, picked) {
  const box = create("div", { class: "follow-through" });
  const words = picked === NOT_COUNTING ? rowThrough(work, step) : beadThrough(work, step, picked);
  if (words) box.append(words);
  return box;
}

/**
 * @param {Work} work
 * @param {Step} step
 * @param {number} picked
 */
function beadThrough(work, step, picked) {
  const beads = step.beads ?? [];
  const next = beads[picked];
  if (next === undefined) return null;
  const through = step.through?.[picked] ?? -1;
  const label = create("span", { class: "follow-label" }, "This bead");
  const words = create("p", {}, label, "pick up ", beadChip(work, next));
  if (through >= 0) {
    words.append(", then through ", beadChip(work, through), ` of row ${work.band.row[through]}`);
  } else if (step.kind === "row" && picked + 1 === beads.length) {
    words.append(", then the turn");
  }
  return words;
}

/**
 * @param {Work} work
 * @param {Step} step
 */
function rowThrough(work, step) {
  const beads = (step.through ?? []).filter((bead) => bead >= 0);
  if (!beads.length) return null;
  const rows = [...new Set(beads.map((bead) => work.band.row[bead]))];
  const label = create("span", { class: "follow-label" }, "Through");
  const words = create("p", {}, label, `row ${rows.join(", ")}: `);
  runsOf(work, beads).forEach(([colour, count], nth) => {
    const text = `${count}\u00a0${colourName(work, colour)}`;
    words.append(nth ? ", " : "", chip(colourHex(work, colour), text));
  });
  return words;
}

/**
 * A small bead with the name of its colour.
 * @param {Work} work
 * @param {number} bead
 */
function beadChip(work, bead) {
  const colour = work.band.colour[bead] ?? 0;
  return chip(colourHex(work, colour), colourName(work, colour));
}

/**
 * A small bead with words; short ones stay on a line with it.
 * @param {string} hex
 * @param {string} words
 */
function chip(hex, words) {
  const size = words.length <= SHORT_WORDS ? "follow-chip is-short" : "follow-chip";
  return create("span", { class: size }, beadElement(hex, "is-small"), words);
}

/**
 * What comes after this step, in a line.
 * @param {Work} work
 * @param {Step} after
 * @param {"left" | "right" | undefined} way its direction
 */
function afterElement(work, after, way) {
  const label = create("span", { class: "follow-label" }, "Then");
  const line = create("p", { class: "follow-then" }, label);
  const isPart = after.part !== undefined && !after.part.startsWith("1 ");
  const name = lowerFirst(after.name);
  if (after.runs && way) {
    const words = isPart ? "" : name;
    const row = create("span", { class: "follow-chip" }, words, icon(way));
    line.append(row, ` ${runsInWords(work, after.runs, "\u00a0")}`);
  } else {
    line.append(isPart ? `${name}, ${after.part}` : name);
  }
  return line;
}

/** @param {Work} work */
function doneElements(work) {
  const sign = create("p", { class: "follow-done", "aria-hidden": "true" }, icon("done"));
  const facts = work.facts.map((fact) => create("p", { class: "follow-text" }, fact));
  return [sign, ...facts];
}

/**
 * The step in one sentence, for those who listen.
 * @param {Work} work
 * @param {Progress} progress
 */
export function stepSentence(work, { place, counting, isTurned }) {
  const step = work.steps[place.step];
  if (!step) return "";
  if (counting && place.bead > 0) return beadSentence(work, step, place.bead);
  const parts = [step.part ? `${step.name}, ${step.part}` : step.name];
  const way = shownWay(work, step, isTurned);
  if (way) {
    const beads = `${countedBeads(beadCount(step))}: ${runsInWords(work, step.runs ?? [])}`;
    parts[0] += `, to the ${way}, ${beads}`;
  }
  if (step.turn) parts.push(step.turn.words);
  if (step.kind === "sewn") parts.push(...(step.text ?? []));
  return `${parts.join(". ")}.`.replace(/\.\.$/, ".");
}

/**
 * @param {Work} work
 * @param {Step} step
 * @param {number} picked
 */
function beadSentence(work, step, picked) {
  let before = 0;
  for (const [colour, count] of step.runs ?? []) {
    if (picked < before + count) {
      return `${colourName(work, colour)}, ${picked - before + 1} of ${count}`;
    }
    before += count;
  }
  const end = step.turn ? step.turn.words : `all ${countedBeads(before)}`;
  return `${step.name}: ${end}`;
}
