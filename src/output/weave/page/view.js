// All that is seen and said: the row at hand, what comes after it, the buttons, the sheet with everything else.

/** @import { Work, Step, Part } from "./work.js" */
/** @import { Standing } from "./place.js" */
import { allBeads, beadsBefore, beadsOf, counted, nameOf, runsInWords, runsOf } from "./work.js";
import { bead, icon, make, moves } from "./parts.js";
import { chart } from "./chart.js";

/** More runs in a row than this are set smaller. */
const MANY = 8;
/** Words up to this long are not broken. */
const SHORT = 18;

/**
 * @typedef {{next: () => void, back: () => void, undo: () => void, count: () => void, again: () => void, goTo: (row: number) => void,
 *   save: () => void, open: (file: File) => void}} Actions
 * @typedef {{root: HTMLElement, mat: HTMLElement, sheet: HTMLDialogElement, show: (now: Standing) => void, say: (words: string) => void,
 *   note: (words: string) => void, facts: (words: string[]) => void, stop: () => void}} View
 */

/**
 * @param {Work} work
 * @param {Actions} actions
 * @returns {View}
 */
export function view(work, actions) {
  const total = allBeads(work);
  const share = make("p", { class: "follow-share" });
  const bar = make("progress", { max: Math.max(total, 1), value: 0, "aria-label": "Beads woven" });
  const head = make("header", { class: "follow-head" }, make("h1", {}, work.title), share, bar);

  const picture = chart(work);
  const now = make("div", { class: "follow-now" });
  const mat = make("section", { class: "follow-mat", "aria-label": "The work at hand" }, picture.element, now);

  const sheet = sheetOf(work, actions);
  const count = button("beads", "Bead by bead", actions.count, { "aria-pressed": "false" });
  const undo = button("undo", "Undo", actions.undo);
  const more = button("more", "More", () => sheet.element.showModal(), { "aria-haspopup": "dialog" });
  const back = make("button", { type: "button", class: "follow-back", click: actions.back }, "Back");
  const nextWords = make("span", {});
  const nextWay = make("span", { class: "follow-way" });
  const next = make("button", { type: "button", class: "follow-next", click: actions.next }, nextWords, nextWay);
  const tools = make("div", { class: "follow-tools" }, count, undo, more);
  const foot = make("div", { class: "follow-bar", role: "group", "aria-label": "Steps" }, tools, make("div", { class: "follow-steps" }, back, next));

  const live = make("p", { class: "follow-unseen", role: "status", "aria-live": "polite", "aria-atomic": "true" });
  const root = make("div", { class: "follow" }, head, mat, foot, live, sheet.element);
  root.style.setProperty("--bead-wide", String(work.band.bead[0] ?? 1));
  root.style.setProperty("--bead-high", String(work.band.bead[1] ?? 1));

  const watch = new ResizeObserver(() => {
    root.style.setProperty("--foot", `${Math.ceil(foot.getBoundingClientRect().height)}px`);
    root.style.setProperty("--head", `${Math.ceil(head.getBoundingClientRect().height)}px`);
  });
  watch.observe(foot);
  watch.observe(head);
  let shown = -1;

  return {
    root,
    mat,
    sheet: sheet.element,
    show(standing) {
      const { place, past, counting } = standing;
      const step = work.steps[place.step];
      if (!step) return;
      const woven = beadsBefore(work, place);
      share.textContent = `${woven} of ${counted(total)}`;
      bar.value = woven;
      root.dataset.kind = step.kind;
      root.dataset.counting = String(counting);
      now.replaceChildren(...stepShown(work, standing));
      picture.show(place, counting);
      count.setAttribute("aria-pressed", String(counting));
      undo.setAttribute("aria-disabled", String(past.length === 0));
      back.setAttribute("aria-disabled", String(place.step === 0 && place.bead === 0));
      const [words, way] = nextLabel(work, standing);
      nextWords.textContent = words;
      nextWay.replaceChildren(...(way ? [icon(way)] : []));
      next.setAttribute("aria-disabled", String(place.step + 1 === work.steps.length));
      if (shown !== -1 && shown !== place.step) {
        window.scrollTo(0, 0);
        if (moves()) now.animate([{ opacity: 0.3 }, { opacity: 1 }], { duration: 160, easing: "ease-out" });
      }
      shown = place.step;
      if (counting) now.querySelector(".is-now")?.scrollIntoView({ block: "nearest" });
    },
    say: (words) => void (live.textContent = words),
    note: sheet.note,
    facts: sheet.facts,
    stop() {
      watch.disconnect();
      picture.stop();
    },
  };
}

/**
 * @param {"beads" | "undo" | "more"} sign
 * @param {string} words
 * @param {() => void} act
 * @param {Record<string, string>} [given]
 */
function button(sign, words, act, given = {}) {
  return make("button", { type: "button", ...given, click: act }, icon(sign), make("span", {}, words));
}

/**
 * What the large button says, and the way of the row that it leads to.
 * @param {Work} work
 * @param {Standing} standing
 * @returns {[string, "left" | "right" | undefined]}
 */
function nextLabel(work, { place, counting }) {
  const step = work.steps[place.step];
  if (counting && step && place.bead < beadsOf(step)) {
    const turns = step.turn && step.turn.kind !== "end" && place.bead + 1 === beadsOf(step);
    return [turns ? "Next: the turn" : "Next bead", undefined];
  }
  const after = work.steps[place.step + 1];
  if (!after) return ["Done", undefined];
  if (after.part) return ["Next", undefined];
  return [after.kind === "done" ? "Finish" : `Next: ${small(after.name)}`, after.kind === "row" ? after.way : undefined];
}

/** @param {string} words */
function small(words) {
  return words.charAt(0).toLowerCase() + words.slice(1);
}

/**
 * The step at hand.
 * @param {Work} work
 * @param {Standing} standing
 * @returns {HTMLElement[]}
 */
function stepShown(work, standing) {
  const { place, counting } = standing;
  const step = /** @type {Step} */ (work.steps[place.step]);
  const title = make("h2", {}, step.name);
  if (step.part) title.append(" ", make("small", {}, step.part));
  const top = make("div", { class: "follow-title" }, title);
  if (step.way) {
    const way = make("p", { class: "follow-lead" }, icon(step.way), ` to the ${step.way}, ${counted(beadsOf(step))}`);
    top.append(way);
  }
  /** @type {HTMLElement[]} */
  const parts = [top];
  const words = (step.text ?? []).map((text) => make("p", { class: "follow-text" }, text));
  // Rows are read bead first; sewing is read.
  if (step.kind === "sewn") parts.push(...words);
  if (step.kind === "done") parts.push(...doneShown(work));
  if (step.runs) parts.push(threadShown(work, step, counting ? place.bead : -1));
  if (step.kind === "row" || step.kind === "strung") parts.push(underShown(work, step, counting ? place.bead : -1), ...words);
  for (const note of step.notes ?? []) parts.push(partShown(note, "follow-care"));
  const after = work.steps[place.step + 1];
  if (after) parts.push(afterShown(work, after));
  return parts;
}

/**
 * The row's beads on their thread in the order of picking up, and the turn at its end.
 * @param {Work} work
 * @param {Step} step
 * @param {number} picked how many beads are on the needle; -1 if nobody counts
 */
function threadShown(work, step, picked) {
  const list = make("ol", { class: "follow-runs", role: "list" });
  let before = 0;
  for (const [colour, many] of step.runs ?? []) {
    const start = before;
    const done = picked >= start + many;
    const at = picked - start;
    const here = picked >= 0 && at >= 0 && at < many;
    const beads = make("span", { class: "follow-beads", "aria-hidden": "true" });
    beads.style.setProperty("--many", String(many));
    const { hex = "000000" } = work.colours[colour] ?? {};
    for (let nth = 0; nth < many; nth += 1) beads.append(bead(hex, picked < 0 ? "" : nth < at ? "is-picked" : nth === at ? "is-next" : "is-to-come"));
    const name = make("span", {}, make("span", { class: "name" }, nameOf(work, colour)));
    const words = make("span", { class: "follow-said" }, make("b", { class: "count" }, String(many)), " ", name);
    if (done && picked >= 0) name.append(" ", make("span", { class: "follow-tick" }, icon("done")));
    if (here) name.append(" ", make("span", { class: "follow-tally" }, `${at + 1} of ${many}`));
    const item = make("li", { class: here ? "is-now" : done && picked >= 0 ? "is-done" : "", "data-colour": colour }, beads, words);
    list.append(item);
    before += many;
  }
  const many = (step.runs?.length ?? 0) > MANY;
  const thread = make("div", { class: many ? "follow-thread is-many" : "follow-thread" }, list);
  if (step.turn) thread.append(turnShown(step.turn, picked >= before));
  return thread;
}

/**
 * @param {import("./work.js").Turn} turn
 * @param {boolean} now whether it is what comes next
 */
function turnShown(turn, now) {
  const name = make("span", { class: "follow-turn-words" }, turn.words);
  const sign = make("span", { class: "follow-turn-sign" }, icon(turn.kind));
  const given = { class: `follow-turn${now ? " is-now" : ""}` };
  if (!turn.how) return make("p", given, sign, name);
  const how = make("details", { ...given, open: turn.first }, make("summary", {}, sign, name), make("p", {}, turn.how));
  return how;
}

/**
 * What the needle goes through: in all of the row, or after the bead at hand.
 * @param {Work} work
 * @param {Step} step
 * @param {number} picked
 */
function underShown(work, step, picked) {
  const box = make("div", { class: "follow-under" });
  const through = step.through ?? [];
  const beads = step.beads ?? [];
  if (picked >= 0) {
    const next = beads[picked];
    if (next === undefined) return box;
    const on = through[picked] ?? -1;
    const words = make("p", {}, make("span", { class: "follow-label" }, "Under the needle"), ...chip(work, next, "pick up "));
    if (on >= 0) words.append(...chip(work, on, ", then through "), ` of row ${work.band.row[on]}`);
    else if (step.kind === "row" && picked + 1 === beads.length) words.append(", then the turn");
    box.append(words);
    return box;
  }
  const passed = through.filter((one) => one >= 0);
  if (passed.length === 0) return box;
  const rows = [...new Set(passed.map((one) => work.band.row[one]))];
  const words = make("p", {}, make("span", { class: "follow-label" }, "Through"), `row ${rows.join(", ")}: `);
  runsOf(work, passed).forEach(([colour, many], at) => {
    const { hex = "000000" } = work.colours[colour] ?? {};
    words.append(at ? ", " : "", chipOf(hex, `${many}\u00a0${nameOf(work, colour)}`));
  });
  box.append(words);
  return box;
}

/**
 * @param {Work} work
 * @param {number} one a bead
 * @param {string} before
 */
function chip(work, one, before) {
  const colour = work.band.colour[one] ?? 0;
  const { hex = "000000" } = work.colours[colour] ?? {};
  return [before, chipOf(hex, nameOf(work, colour))];
}

/**
 * A small bead with its words; short ones stay on one line with it.
 * @param {string} hex
 * @param {string} words
 */
function chipOf(hex, words) {
  return make("span", { class: words.length <= SHORT ? "follow-chip is-short" : "follow-chip" }, bead(hex, "is-small"), words);
}

/**
 * What comes after this step, in a line.
 * @param {Work} work
 * @param {Step} after
 */
function afterShown(work, after) {
  const line = make("p", { class: "follow-after" }, make("span", { class: "follow-label" }, "Then"));
  const name = after.part && !after.part.startsWith("1 ") ? "" : after.name;
  if (after.runs && after.way) line.append(make("span", { class: "follow-chip" }, small(name), icon(after.way)), ` ${runsInWords(work, after.runs, "\u00a0")}`);
  else line.append(name ? small(name) : `${small(after.name)}, ${after.part}`);
  return line;
}

/** @param {Work} work */
function doneShown(work) {
  const sign = make("p", { class: "follow-done", "aria-hidden": "true" }, icon("done"));
  return [sign, ...work.facts.map((fact) => make("p", { class: "follow-text" }, fact))];
}

/**
 * @param {Part} part
 * @param {string} kind
 */
function partShown(part, kind) {
  return make("div", { class: kind }, make("h3", {}, part.heading), ...part.paragraphs.map((words) => make("p", {}, words)));
}

/**
 * The step in one sentence, for those who listen.
 * @param {Work} work
 * @param {Standing} standing
 */
export function sentence(work, { place, counting }) {
  const step = work.steps[place.step];
  if (!step) return "";
  if (counting && place.bead > 0) return beadSentence(work, step, place.bead);
  const parts = [step.part ? `${step.name}, ${step.part}` : step.name];
  if (step.way) parts[0] += `, to the ${step.way}, ${counted(beadsOf(step))}: ${runsInWords(work, step.runs ?? [])}`;
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
  for (const [colour, many] of step.runs ?? []) {
    if (picked < before + many) return `${nameOf(work, colour)}, ${picked - before + 1} of ${many}`;
    before += many;
  }
  return step.turn ? `${step.name}: ${step.turn.words}` : `${step.name}: all ${counted(before)}`;
}

/**
 * Everything that is not needed at every row.
 * @param {Work} work
 * @param {Actions} actions
 */
function sheetOf(work, actions) {
  const rows = work.steps.flatMap((step) => step.beads ?? []).map((one) => work.band.row[one] ?? 0);
  const first = rows.reduce((least, row) => Math.min(least, row), Infinity);
  const last = rows.reduce((most, row) => Math.max(most, row), 0);
  const field = make("input", { type: "number", id: "follow-row", min: first, max: last, inputmode: "numeric", required: true });
  const go = make(
    "form",
    {
      class: "follow-line",
      submit: (event) => {
        event.preventDefault();
        actions.goTo(field.valueAsNumber);
      },
    },
    make("label", { for: "follow-row" }, "Row"),
    field,
    make("button", { type: "submit" }, "Go there"),
  );
  const file = make("input", {
    type: "file",
    accept: ".json,application/json",
    class: "follow-unseen",
    change: () => {
      const chosen = file.files?.[0];
      if (chosen) actions.open(chosen);
      file.value = "";
    },
  });
  const places = make(
    "div",
    { class: "follow-line" },
    make("button", { type: "button", click: actions.save }, "Save the place as a file"),
    make("label", { class: "follow-file" }, file, "Open a saved place"),
    make("button", { type: "button", click: actions.again }, "Begin again"),
  );
  const said = make("p", { class: "follow-note", role: "status" });
  const state = make("div", { class: "follow-state" });
  const colours = make("ul", { class: "follow-colours" });
  for (const { hex, about, name, count } of work.colours) {
    if (count === 0) continue;
    const words = about.startsWith(name) ? about : `${name}: ${about}`;
    colours.append(make("li", {}, bead(hex), make("span", {}, words), make("span", { class: "follow-number" }, `× ${count}`)));
  }
  const close = make("button", { type: "button", class: "follow-close", "aria-label": "Close", click: () => element.close() }, icon("close"));
  const element = make(
    "dialog",
    { class: "follow-sheet", "aria-labelledby": "follow-sheet-title" },
    make("div", { class: "follow-sheet-head" }, make("h2", { id: "follow-sheet-title" }, work.title), close),
    ...work.facts.map((fact) => make("p", { class: "follow-quiet" }, fact)),
    make("h3", {}, "Your place"),
    go,
    places,
    said,
    state,
    make("h3", {}, "Colours"),
    colours,
    ...work.help.map((part) => partShown(part, "follow-help")),
    make("div", { class: "follow-help" }, make("h3", {}, "Keys"), make("p", {}, "→, space or enter: on. ←: back. Ctrl+Z: undo. On a touch screen, swipe left to go on and right to go back.")),
  );
  return {
    element,
    note: (/** @type {string} */ words) => void (said.textContent = words),
    facts: (/** @type {string[]} */ words) => state.replaceChildren(...words.map((one) => make("p", { class: "follow-quiet" }, one))),
  };
}
