// The desk: what lies on it, and who is told when it changes. Everything that is computed, the program computes; what is drawn, the page draws.

import * as lattice from "./lattice.js";
import * as charts from "./chart.js";
import * as asking from "./ask.js";
import * as keeping from "./keep.js";
import * as files from "./files.js";
import * as follow from "./follow.js";
import { Mat } from "./mat.js";
import { Ring } from "./ring.js";
import { Hands, size } from "./hands.js";
import { drawHeap, grams, layDishes, layDrawer } from "./dishes.js";
import { Frame, suit, wish, wished, wishes } from "./picture.js";
import { CARD, drawTrue, measured, scale } from "./size.js";
import { beadsOf, layFindings, layNotes, layNumbers } from "./facts.js";
import { layKeys, pressed } from "./keys.js";
import { luminance } from "./beads.js";
import { calmly, counted, furnish, get, make, number, part, say } from "./dom.js";

/** @typedef {import('./chart.js').Chart} Chart @typedef {import('./chart.js').Colour} Colour @typedef {import('./chart.js').Command} Command */
/** @typedef {import('./dishes.js').Stocked} Stocked */
/** @typedef {{id: string, name: string, file: string, text: string, colours: Stocked[]}} Palette */

/** Deeds that are kept over a reload; all of them can be undone until then. */
const KEPT_DEEDS = 400;
/** Beads in them, at most, so that keeping never takes long. */
const KEPT_BEADS = 300000;

/** A finding that speaks of more beads than this is pinned only when it is chosen. */
const MOST_PINS = 24;

/** Up to so many colours, a chart has a few more dishes beside it. */
const FEW = 5;

const desk = {
  /** What the program told at the start. @type {any} */
  begin: { palettes: [], beads: [], sizes: [], kinds: [], offers: [] },
  /** @type {charts.History | null} */
  history: null,
  /** The text the first chart came with, to be saved as it is as long as nothing changed. */
  origin: "",
  /** The deed after which the chart was saved last. @type {unknown} */
  saved: null,
  /** The name of the file. */
  file: "",
  /** @type {Palette | null} */
  palette: null,
  /** @type {import('./picture.js').Picture | null} */
  picture: null,
  /** Dishes on the mat beside those of the chart, taken out by hand. @type {Stocked[]} */
  out: [],
  /** Dishes that stand ready while the chart has few colours. @type {Stocked[]} */
  spare: [],
  /** @type {Colour | null} */
  hand: null,
  pinned: new Set(/** @type {string[]} */ ([])),
  banned: new Set(/** @type {string[]} */ ([])),
  /** @type {import('./facts.js').Facts | null} */
  facts: null,
  chosenFinding: -1,
  /** @type {string[]} */
  notes: [],
  ready: false,
  refused: false,
};

const ring = new Ring(get("ring", HTMLCanvasElement));
const frame = new Frame(() => wishesChanged());
const mat = new Mat(part("stage"), part("sizer"), get("band", HTMLCanvasElement), {
  press: (bead, event) => hands.press(bead, event),
  drag: (beads) => hands.drag(beads),
  release: () => hands.release(),
  cancel: () => hands.cancel(),
  hover: (bead) => {
    hands.hover(bead);
    where(bead);
  },
  zoomed: () => undefined,
});
const hands = new Hands(
  {
    chart: () => chart(),
    inHand: () => hand(),
    takeInHand: (colour) => takeInHand(colour),
    act: (command, said) => act(command, said),
    say,
    changed: () => layHands(),
  },
  mat,
);

/** @returns {Chart} */
function chart() {
  if (!desk.history) throw new Error("there is no chart yet");
  return desk.history.chart;
}

/** @returns {Colour} */
function hand() {
  return desk.hand ?? chart().colours[0];
}

// --- the chart changes

/** Does a deed, which can be undone. @param {Command | null} command @param {string} said @param {boolean} [join] takes the place of a deed of the same name */
function act(command, said, join = false) {
  const { history } = desk;
  if (!history) return;
  if (!command) {
    say("Nothing changes");
    return;
  }
  const last = history.done.at(-1);
  if (join && last && last !== desk.saved && last.said === said && last.command.kind === "whole" && command.kind === "whole") {
    history.undo();
    history.undone = [];
    command = { ...command, from: history.chart };
  }
  history.add(command, said);
  say(said.charAt(0).toUpperCase() + said.slice(1));
  show(touched(command));
}

/** The beads that a command changes, where it leaves all else. @param {Command} command @returns {number[] | undefined} */
function touched(command) {
  if (command.kind === "beads") return command.at;
  if (command.kind === "colours" || command.kind === "words") return [];
  if (command.kind !== "all") return undefined;
  const parts = command.parts.map(touched);
  return parts.every((part) => part) ? /** @type {number[]} */ (parts.flat()) : undefined;
}

/** @param {"undo" | "redo"} way */
function back(way) {
  const { history } = desk;
  if (!history) return;
  const list = way === "undo" ? history.done : history.undone;
  const command = list.at(-1)?.command;
  const said = history[way]();
  if (!said || !command) return say(way === "undo" ? "There is nothing to take back" : "There is nothing to do again");
  say(`${way === "undo" ? "Taken back" : "Done again"}: ${said}`);
  hands.letGo();
  show(touched(command));
}

/** Shows the chart everywhere. @param {number[]} [changed] */
function show(changed) {
  const now = chart();
  hands.settle();
  mat.show(now, changed);
  desk.chosenFinding = -1;
  mat.over.lit = new Set();
  if (!changed) mat.over.pinned = new Map();
  layEverything();
  if (now.beads.length < 3000) ring.show(now);
  else ringLater();
  trueLater();
  factsLater();
  keepLater();
}

const ringLater = calmly(() => ring.show(chart()), 180);
const trueLater = calmly(() => {
  drawTrue(get("true-band", HTMLCanvasElement), chart());
  seenLater();
}, 120);
const factsLater = calmly(() => askFacts(), 160);
const keepLater = calmly(() => keep(), 350);
const seenLater = calmly(() => askSeen(), 60);

/** @param {Chart} now @param {string} text @param {string} file */
function begin(now, text, file) {
  desk.history = new charts.History(now);
  desk.origin = text;
  desk.saved = null;
  desk.file = file;
  desk.facts = null;
  desk.notes = [];
  files.elsewhere();
  desk.out = desk.out.filter((colour) => desk.palette?.colours.some((other) => other.code === colour.code));
  putOutSome();
  desk.hand = strongest(now);
  mat.fitted = true;
  show();
}

/** The colour of a chart that a hand would take first: the one that most beads have beside the ground, or one that stands ready. @param {Chart} now */
function strongest(now) {
  const counts = charts.counts(now);
  const order = counts.map((_, at) => at).sort((one, other) => counts[other] - counts[one]);
  const spare = desk.spare[0];
  if (order.length === 1 && spare) return charts.plain(spare);
  return now.colours[order[1] ?? order[0]];
}

/** A plain band is no fun with one dish: a few colours far apart stand ready. */
function putOutSome() {
  const all = (desk.palette?.colours ?? []).filter((colour) => isOwned(colour.code));
  const taken = [...chart().colours];
  const apart = (/** @type {Colour} */ one, /** @type {Colour} */ other) => {
    const parts = (/** @type {string} */ hex) => [0, 2, 4].map((at) => parseInt(hex.slice(at, at + 2), 16));
    const [a, b] = [parts(one.hex), parts(other.hex)];
    return a.reduce((sum, value, at) => sum + (value - b[at]) ** 2, 0);
  };
  desk.spare = [];
  while (desk.spare.length < Math.min(7, all.length - 1)) {
    const next = all
      .filter((colour) => !taken.some((other) => other.code === colour.code))
      .sort((one, other) => Math.min(...taken.map((colour) => apart(colour, other))) - Math.min(...taken.map((colour) => apart(colour, one))))[0];
    if (!next) return;
    taken.push(next);
    desk.spare.push(next);
  }
}

/** The chart's text to be saved or handed on. */
function textOf() {
  const { history } = desk;
  if (!history) return "";
  if (!history.done.length && desk.origin) return desk.origin;
  return charts.write(history.isMended() ? charts.mended(history.chart) : history.chart);
}

function isUnsaved() {
  return (desk.history?.done.at(-1) ?? null) !== desk.saved;
}

// --- what is laid out anew when something changes

function layEverything() {
  const { history } = desk;
  if (!history) return;
  layTheDishes();
  layHand();
  layHands();
  layNumbers(history.chart, desk.facts);
  layNotes(desk.notes);
  get("undo", HTMLButtonElement).disabled = !history.done.length;
  get("redo", HTMLButtonElement).disabled = !history.undone.length;
  const title = get("title", HTMLInputElement);
  if (document.activeElement !== title) title.value = history.chart.title ?? "";
  part("state").textContent = !isUnsaved()
    ? history.done.length || desk.file
      ? "saved"
      : "nothing to save"
    : desk.refused
      ? "not saved"
      : "not saved, but kept here";
  part("state").classList.toggle("unsaved", isUnsaved());
  const mended = desk.picture !== null && history.isMended();
  part("mended-note").hidden = !mended;
  part("remake").classList.toggle("waiting", mended);
}

function layTheDishes() {
  const now = chart();
  const counts = charts.counts(now);
  const kit = new Map((desk.facts?.kit?.colours ?? []).map((/** @type {any} */ colour) => [colour.code, colour]));
  const stock = new Map(desk.palette?.colours.map((colour) => [colour.code, colour]));
  /** @type {import('./dishes.js').Dish[]} */
  const dishes = now.colours.map((colour, nth) => {
    const needed = kit.get(colour.code);
    const sameCount = needed?.beads_each === counts[nth];
    return {
      colour,
      count: counts[nth],
      grams: sameCount ? needed.grams : null,
      lacking: sameCount ? (needed.lacking_beads ?? 0) : 0,
      owned: isOwned(colour.code),
      pinned: desk.pinned.has(colour.code),
      banned: desk.banned.has(colour.code),
      inHand: hand().code === colour.code,
    };
  });
  dishes.sort((one, other) => other.count - one.count);
  const more = others(now);
  for (const colour of more) {
    dishes.push({
      colour: stock.get(colour.code) ?? colour,
      count: 0,
      grams: null,
      lacking: 0,
      owned: isOwned(colour.code),
      pinned: desk.pinned.has(colour.code),
      banned: desk.banned.has(colour.code),
      inHand: hand().code === colour.code,
    });
  }
  part("mat").classList.toggle("many-dishes", dishes.length > 12);
  part("mat").classList.toggle("broad", now.columns * 2.4 > now.rows);
  layDishes(dishes, takeInHand);
}

/** The colours on the mat that the chart does not have. @param {Chart} now @returns {Stocked[]} */
function others(now) {
  const all = [...desk.out, ...(now.colours.length <= FEW ? desk.spare.slice(0, 8 - now.colours.length) : [])];
  return all.filter((colour, nth) => !now.colours.some((other) => other.code === colour.code) && all.findIndex((other) => other.code === colour.code) === nth);
}

/** The dishes' colours in the order they lie in. @returns {Colour[]} */
function order() {
  const sides = ["dishes-left", "dishes-right"].map((id) => [...part(id).children].map((dish) => /** @type {HTMLElement} */ (dish).dataset.code));
  const codes = sides[0].flatMap((code, nth) => (sides[1][nth] === undefined ? [code] : [code, sides[1][nth]]));
  const all = [...chart().colours, ...desk.out, ...desk.spare];
  return codes.map((code) => all.find((colour) => colour.code === code)).filter((colour) => colour !== undefined);
}

function layHand() {
  const colour = hand();
  const counts = charts.counts(chart());
  const nth = chart().colours.findIndex((other) => other.code === colour.code);
  const stocked = desk.palette?.colours.find((other) => other.code === colour.code);
  drawHeap(get("hand-heap", HTMLCanvasElement), 52, colour, 40);
  part("hand-name").textContent = colour.name;
  const has = stocked?.grams;
  part("hand-about").textContent = [
    colour.code,
    colour.finish,
    nth >= 0 ? counted(counts[nth], "bead") : "not used yet",
    has === null || has === undefined ? "" : `${grams(has)} owned`,
  ]
    .filter(Boolean)
    .join(" · ");
  part("hand-own").setAttribute("aria-pressed", String(isOwned(colour.code)));
  part("hand-pin").setAttribute("aria-pressed", String(desk.pinned.has(colour.code)));
  part("hand-ban").setAttribute("aria-pressed", String(desk.banned.has(colour.code)));
  const swap = get("swap", HTMLSelectElement);
  const others = order().filter((other) => other.code !== colour.code);
  const options = [make("option", { value: "" }, "exchange for …"), ...others.map((other) => make("option", { value: other.code }, other.name))];
  swap.replaceChildren(...options);
  swap.value = "";
  swap.disabled = nth < 0 || !counts[nth];
}

function layHands() {
  if (!desk.history) return;
  const shownTool = hands.tool === "stamp" ? "motif" : hands.tool;
  for (const button of part("hands").querySelectorAll("button")) button.setAttribute("aria-pressed", String(button.dataset.tool === shownTool));
  part("alike-columns").setAttribute("aria-pressed", String(hands.axes.includes("columns")));
  part("alike-rows").setAttribute("aria-pressed", String(hands.axes.includes("rows")));
  const chosen = mat.over.box !== null && hands.stroke === null;
  part("motif-acts").hidden = !(chosen || hands.tool === "stamp");
  for (const act of ["copy", "pour"]) /** @type {HTMLElement} */ (part("motif-acts").querySelector(`[data-act=${act}]`)).hidden = hands.tool === "stamp";
  part("motif-hint").textContent = hands.tool === "stamp" ? "a press lays a copy down" : "drag it, or Alt with arrows, to move it";
  part("stage").dataset.tool = hands.tool;
}

/** @param {number} bead */
function where(bead) {
  if (!desk.history || bead < 0) {
    part("where").textContent = "";
    return;
  }
  const { row, column } = lattice.place(chart(), bead);
  part("where").textContent = `row ${row}, column ${column} · ${chart().colours[chart().beads[bead]].name}`;
}

// --- colours

/** @param {Colour} colour */
function takeInHand(colour) {
  desk.hand = charts.plain(colour);
  if (!chart().colours.some((other) => other.code === colour.code) && !desk.out.some((other) => other.code === colour.code)) desk.out.push(colour);
  say(`${colour.name} in hand`);
  layTheDishes();
  layHand();
  keepLater();
}

/** @param {number} by */
function nextDish(by) {
  const all = order();
  const at = all.findIndex((colour) => colour.code === hand().code);
  takeInHand(all[(at + by + all.length) % all.length]);
}

function ownedKey() {
  return `owned in ${desk.palette?.name ?? ""}`;
}

/** @param {string} code */
function isOwned(code) {
  const ticks = keeping.remembered(ownedKey()) ?? unkept;
  if (code in ticks) return ticks[code] === true;
  // What the palette says: nothing stated means enough, no grams means none.
  const stocked = desk.palette?.colours.find((colour) => colour.code === code);
  return stocked !== undefined && stocked.grams !== 0;
}

/** Ticks where the browser refuses to store. @type {Record<string, boolean>} */
let unkept = {};

/** @param {Colour} colour @param {"own" | "pin" | "ban"} deed */
function tick(colour, deed) {
  const { code, name } = colour;
  if (deed === "own") {
    const owned = !isOwned(code);
    unkept = { ...(keeping.remembered(ownedKey()) ?? unkept), [code]: owned };
    keeping.remember(ownedKey(), unkept);
    say(`${name}: ${owned ? "owned" : "not owned"}`);
  } else {
    const [set, other] = deed === "pin" ? [desk.pinned, desk.banned] : [desk.banned, desk.pinned];
    if (set.has(code)) set.delete(code);
    else set.add(code);
    other.delete(code);
    say(`${name}: ${set.has(code) ? (deed === "pin" ? "kept in" : "left out") : "as the picture wants"}`);
  }
  layTheDishes();
  layHand();
  layTheDrawer();
  if (desk.picture) wishesChanged();
  keepLater();
}

function layTheDrawer() {
  if (!get("drawer", HTMLDialogElement).open || !desk.palette) return;
  const counts = charts.counts(chart());
  const used = new Map(chart().colours.map((colour, nth) => [colour.code, counts[nth]]));
  layDrawer(desk.palette.colours, { owned: isOwned, pinned: desk.pinned, banned: desk.banned, used }, get("drawer-seek", HTMLInputElement).value, (colour) => {
    const deed = /** @type {HTMLInputElement} */ (document.querySelector("input[name=deed]:checked")).value;
    if (deed === "take") {
      takeInHand(colour);
      shut("drawer");
    } else {
      tick(colour, /** @type {"own" | "pin" | "ban"} */ (deed));
    }
  });
}

// --- asking the program

/** Runs something that asks; shows what went wrong. @template T @param {() => Promise<T>} what @param {string} [about] @returns {Promise<T | undefined>} */
async function heed(what, about = "") {
  try {
    return await what();
  } catch (cause) {
    if (cause instanceof asking.NoAnswer) {
      if (cause.kind === "fault") fault(cause.fault, about);
    } else {
      fault({ what: cause instanceof Error ? cause.message : String(cause) }, about);
    }
    return undefined;
  }
}

/** @param {import('./ask.js').Fault} it @param {string} [about] @param {boolean} [stays] until it is put away by hand */
function fault(it, about = "", stays = false) {
  part("fault").dataset.stays = stays ? "yes" : "";
  const first = it.what.charAt(0).toUpperCase() + it.what.slice(1);
  part("fault-what").textContent = about && !it.what.includes(about) ? `${about}: ${it.what}.` : `${first}.`;
  part("fault-where").textContent = it.where ? `(${it.where})` : "";
  part("fault-hint").textContent = it.hint ? `${it.hint.charAt(0).toUpperCase()}${it.hint.slice(1)}.` : "";
  part("fault").hidden = false;
}

/** What went wrong is mended. */
function forgive() {
  if (!part("fault").dataset.stays) part("fault").hidden = true;
}

/** Asks; where the program has forgotten picture or palette, sends them again, once. @template T @param {() => Promise<T>} what @returns {Promise<T>} */
async function remembering(what) {
  try {
    return await what();
  } catch (cause) {
    if (!(cause instanceof asking.NoAnswer) || cause.kind !== "gone") throw cause;
    if (desk.picture) await asking.ask(`picture?name=${encodeURIComponent(desk.picture.name)}`, { raw: desk.picture.bytes });
    if (desk.palette) await asking.ask(`palette?name=${encodeURIComponent(desk.palette.file)}`, { raw: desk.palette.text });
    return await what();
  }
}

const remakeSoon = calmly(() => void remake(), 15);

/** A wish changed: the picture is charted again, unless beads mended by hand would be lost. */
function wishesChanged() {
  suit();
  keepLater();
  if (!desk.picture || !desk.palette || desk.history?.isMended()) return;
  remakeSoon();
}

/** Charts the picture as wished, or lays a plain band. */
async function remake() {
  const { palette, picture } = desk;
  if (!palette) return;
  const all = wishes();
  const left = palette.colours.filter((colour) => desk.banned.has(colour.code) || !isOwned(colour.code)).map((colour) => colour.code);
  const has = (/** @type {string} */ code) => palette.colours.some((colour) => colour.code === code);
  /** @type {Record<string, unknown>} */
  const body = {
    palette: { id: palette.id },
    title: desk.history?.chart.title,
    columns: all.columns,
    size: all.size,
    rows: all.rows,
    open: all.open,
    bead: all.bead,
  };
  if (picture) {
    const keep = [...desk.pinned].filter(has);
    Object.assign(body, all, { picture: picture.id, keep: keep.length ? keep : undefined, without: left.length ? left : undefined });
    const { crop } = frame;
    if (crop) body.crop = [crop.x, crop.y, crop.width, crop.height];
    if (all.ground && !has(String(all.ground))) body.ground = undefined;
  } else {
    body.ground = get("plain-colour", HTMLSelectElement).value;
  }
  part("mat").classList.add("busy");
  const answer = await heed(() => remembering(() => asking.ask("chart", { body, lane: "chart" })), picture?.name);
  part("mat").classList.remove("busy");
  if (!answer) return;
  forgive();
  const made = charts.read(answer.text);
  desk.notes = answer.notes ?? [];
  if (!desk.history) {
    begin(made, answer.text, "");
    return;
  }
  const said = picture ? `${picture.name} charted` : "a plain band";
  act({ kind: "whole", from: chart(), to: made }, said, true);
  if (!made.colours.some((colour) => colour.code === hand().code)) desk.hand = strongest(made);
  putOutSome();
  layEverything();
}

async function askFacts() {
  const text = textOf();
  const answer = await heed(() =>
    remembering(() =>
      asking.ask("facts", {
        body: { chart: text, palette: desk.palette ? { id: desk.palette.id } : undefined, make: 1, spare: 10 },
        lane: "facts",
      }),
    ),
  );
  if (!answer || text !== textOf()) return;
  desk.facts = answer;
  const now = chart();
  layNumbers(now, answer);
  layTheDishes();
  mat.over.pinned = new Map();
  answer.findings.forEach((/** @type {import('./facts.js').Finding} */ finding, /** @type {number} */ nth) => {
    const beads = beadsOf(now, finding);
    if (beads.length <= MOST_PINS) for (const bead of beads) mat.over.pinned.set(bead, nth);
  });
  layTheFindings();
  mat.soon();
}

function layTheFindings() {
  const findings = desk.facts?.findings ?? [];
  layFindings(findings, desk.chosenFinding, (nth) => {
    desk.chosenFinding = desk.chosenFinding === nth ? -1 : nth;
    const beads = desk.chosenFinding < 0 ? [] : beadsOf(chart(), findings[nth]);
    mat.over.lit = new Set(beads);
    if (beads.length) {
      mat.over.cursor = beads[0];
      mat.reveal(beads[0]);
      say(`${counted(beads.length, "bead")} marked on the band`);
    }
    mat.soon();
    layTheFindings();
  });
}

/** The band as it is seen from afar, at true size. */
async function askSeen() {
  const mm = get("seen-from", HTMLSelectElement).value;
  const image = get("seen", HTMLImageElement);
  const plain = part("true-band");
  if (!mm) {
    image.hidden = true;
    plain.hidden = false;
    return;
  }
  const answer = await heed(() => asking.raw("seen", { body: { chart: textOf(), mm: Number(mm) }, lane: "seen" }));
  if (!answer) return;
  const blob = await answer.blob();
  URL.revokeObjectURL(image.src);
  image.src = URL.createObjectURL(blob);
  image.style.width = plain.style.width || `${chart().columns * chart().bead.length_mm * scale().pixels}px`;
  image.alt = "The band as it is seen from there";
  image.hidden = false;
  plain.hidden = true;
}

// --- pictures, palettes, charts come in

/** @param {File} file */
async function takeFile(file) {
  const kind = files.kindOf(file);
  if (file.size > files.MOST[kind]) {
    fault({
      what: `${file.name} has ${number(Math.round(file.size / 1e6))} MB`,
      hint: `the desk takes a ${kind} of up to ${files.MOST[kind] >> 20} MB; make it smaller first`,
    });
    return;
  }
  if (kind === "picture") await takePicture(file.name, await file.arrayBuffer());
  if (kind === "palette") await takePalette(file.name, await file.text(), true);
  if (kind === "chart") await takeChart(file.name, await file.text());
}

/** @param {string} name @param {ArrayBuffer} bytes */
async function takePicture(name, bytes) {
  say(`${name} is being read`);
  const answer = await heed(() => asking.ask(`picture?name=${encodeURIComponent(name)}`, { raw: bytes }), name);
  if (!answer) return;
  forgive();
  desk.picture = { name, bytes, id: answer.id, width: answer.width, height: answer.height };
  frame.show(desk.picture, null);
  layPicture();
  if (!(await keeping.keepPicture({ name, bytes }))) refused();
  await remake();
}

function layPicture() {
  const { picture } = desk;
  part("picture-acts").hidden = !picture;
  part("with-picture").hidden = !picture;
  part("plain-ground").hidden = picture !== null;
  part("remake").classList.toggle("quiet", picture === null);
  part("remake").textContent = picture ? "Chart the picture" : "Lay a plain band";
}

/** The chart stays; only the print goes back into its folder. */
function putPictureAway() {
  desk.picture = null;
  frame.show(null, null);
  layPicture();
  void keeping.keepPicture(null);
  keepLater();
}

/** @param {string} name @param {string} text @param {boolean} [again] whether the picture is charted anew in these colours */
async function takePalette(name, text, again = false) {
  const answer = await heed(() => asking.ask(`palette?name=${encodeURIComponent(name)}`, { raw: text }), name);
  if (!answer) return false;
  forgive();
  desk.palette = { id: answer.id, name: answer.name ?? name.replace(/\.[^.]*$/, ""), file: name, text, colours: answer.colours };
  const codes = new Set(answer.colours.map((/** @type {Colour} */ colour) => colour.code));
  desk.out = desk.out.filter((colour) => codes.has(colour.code));
  layPalette();
  if (again) {
    say(`${desk.palette.name}: ${counted(answer.colours.length, "colour")} in the drawer`);
    if (desk.history) {
      putOutSome();
      show([]);
    }
    layTheDrawer();
    wishesChanged();
  }
  return true;
}

function layPalette() {
  const { palette } = desk;
  if (!palette) return;
  const choice = get("palette-choice", HTMLSelectElement);
  const names = desk.begin.palettes.map((/** @type {{name: string}} */ each) => each.name);
  if (!names.includes(palette.file)) names.push(palette.file);
  choice.replaceChildren(...names.map((/** @type {string} */ name) => make("option", { value: name }, name.replace(/\.(csv|gpl)$/i, ""))));
  choice.value = palette.file;
  part("drawer-open").textContent = `Drawer: ${palette.name}`;
  part("drawer-open").title = `${counted(palette.colours.length, "colour")} to take out (D)`;
  for (const [id, first] of [
    ["ground", "as suits"],
    ["plain-colour", ""],
  ]) {
    const select = get(id, HTMLSelectElement);
    const was = select.value;
    const options = palette.colours.map((colour) => make("option", { value: colour.code }, colour.name));
    if (first) options.unshift(make("option", { value: "" }, first));
    select.replaceChildren(...options);
    select.value = was;
    if (!select.value) select.value = first ? "" : ground(palette.colours).code;
  }
}

/** A calm ground for a plain band: dark but not black, else the first. @param {Stocked[]} colours */
function ground(colours) {
  const dark = colours.filter((colour) => isOwned(colour.code) && luminance(colour.hex) > 0.02 && luminance(colour.hex) < 0.12);
  return dark[0] ?? colours[0];
}

/** @param {string} name @param {string} text */
async function takeChart(name, text) {
  const answer = await heed(() => asking.ask(`read?name=${encodeURIComponent(name)}`, { raw: text }), name);
  if (!answer) return;
  forgive();
  const now = charts.read(answer.text);
  putPictureAway();
  const wanted = now.made.options.palette;
  const known = desk.begin.palettes.find((/** @type {{name: string}} */ each) => each.name.replace(/\.[^.]*$/, "") === wanted);
  if (known && desk.palette?.name !== wanted) await takePalette(known.name, known.text);
  if (desk.history && isUnsaved()) {
    // What lies on the mat is not thrown away: it can be undone back to.
    act({ kind: "whole", from: chart(), to: now }, `${name} opened`);
    desk.file = name;
    desk.saved = desk.history.done.at(-1);
    files.elsewhere();
  } else {
    begin(now, answer.text, name);
  }
  desk.hand = strongest(now);
  putBandIntoForm(now);
  layEverything();
  say(`${name}: ${counted(now.beads.length, "bead")}`);
}

/** The form's numbers follow the band that is on the mat. @param {Chart} now */
function putBandIntoForm(now) {
  const bySize = now.made.options.size !== undefined && now.closed;
  wish({
    columns: String(now.columns),
    rows: String(now.rows),
    "length-by": bySize ? "size" : now.closed ? "rows" : "open",
    ...(bySize ? { size: now.made.options.size } : {}),
  });
}

/** What the chart's file is called, or would be. */
function fileName() {
  return desk.file || files.named(chart().title ?? desk.picture?.name.replace(/\.[^.]*$/, "") ?? "band", "json");
}

async function save() {
  if (!desk.history) return;
  const last = desk.history.done.at(-1) ?? null;
  const name = fileName();
  const as = await files.save(textOf(), name);
  if (!as) return;
  desk.file = as;
  desk.saved = last;
  layEverything();
  say(`Saved as ${as}`);
  await keep();
}

/** @param {string} kind @param {string} ending */
async function handOn(kind, ending) {
  say("It is being made …");
  const name = fileName().replace(/\.json$/i, `.${ending}`);
  const answer = await heed(() =>
    remembering(() =>
      asking.raw(`export?kind=${kind}`, {
        body: { chart: textOf(), name: fileName(), palette: desk.palette ? { id: desk.palette.id } : undefined },
      }),
    ),
  );
  if (!answer) return;
  const disposition = answer.headers.get("Content-Disposition") ?? "";
  const whole = /filename\*=UTF-8''([^;]+)/i.exec(disposition)?.[1];
  const stated = whole ? decodeURIComponent(whole) : /filename="([^"]+)"/i.exec(disposition)?.[1];
  files.download(await answer.blob(), stated ?? name);
  say(`${stated ?? name} is made`);
}

// --- keeping

/** The last deeds that together are not too heavy to keep. @template {{command: Command}} T @param {T[]} deeds @returns {T[]} */
function worthKeeping(deeds) {
  let weight = 0;
  let from = deeds.length;
  while (from > 0 && deeds.length - from < KEPT_DEEDS) {
    weight += heaviness(deeds[from - 1].command);
    if (weight > KEPT_BEADS) break;
    from--;
  }
  return deeds.slice(from);
}

/** @param {Command} command @returns {number} */
function heaviness(command) {
  if (command.kind === "all") return command.parts.reduce((sum, part) => sum + heaviness(part), 0);
  if (command.kind === "whole") return command.from.beads.length + command.to.beads.length;
  return command.kind === "beads" ? command.at.length : 100;
}

async function keep() {
  const { history } = desk;
  if (!history || !desk.ready) return;
  const done = worthKeeping(history.done);
  const work = {
    chart: history.chart,
    done,
    undone: worthKeeping(history.undone),
    origin: history.done.length === 0 ? desk.origin : "",
    saved: desk.saved === null ? (done.length === history.done.length ? 0 : -1) : done.indexOf(/** @type {any} */ (desk.saved)) + 1 || -1,
    file: desk.file,
    out: desk.out,
    hand: desk.hand,
    pinned: [...desk.pinned],
    banned: [...desk.banned],
    wished: wished(),
    crop: frame.crop,
    palette: desk.palette ? { file: desk.palette.file, text: desk.palette.text } : null,
    axes: hands.axes,
    notes: desk.notes,
    picture: desk.picture !== null,
  };
  if (!(await keeping.keep(work, isUnsaved()))) refused();
}

function refused() {
  if (desk.refused) return;
  desk.refused = true;
  fault({ what: "this browser refuses to keep unsaved work", hint: "save to a file often; all else works" }, "", true);
  layEverything();
}

/** Takes kept work up again. @param {any} work */
async function takeUp(work) {
  wish(work.wished);
  desk.pinned = new Set(work.pinned);
  desk.banned = new Set(work.banned);
  if (work.palette) await takePalette(work.palette.file, work.palette.text);
  const history = new charts.History(work.chart);
  history.done = work.done;
  history.undone = work.undone;
  desk.history = history;
  desk.origin = work.origin;
  desk.saved = work.saved === 0 ? null : work.saved > 0 ? work.done[work.saved - 1] : {};
  desk.file = work.file;
  desk.out = work.out;
  desk.hand = work.hand;
  desk.notes = work.notes;
  hands.axes = work.axes;
  putOutSome();
  const picture = work.picture ? await keeping.keptPicture() : null;
  if (picture) {
    const answer = await heed(() => asking.ask(`picture?name=${encodeURIComponent(picture.name)}`, { raw: picture.bytes }), picture.name);
    if (answer) desk.picture = { ...picture, id: answer.id, width: answer.width, height: answer.height };
  }
  frame.show(desk.picture, work.crop);
  layPicture();
  mat.fitted = true;
  show();
}

// --- the page comes up

/** @param {string} id */
function shut(id) {
  get(id, HTMLDialogElement).close();
}

/** @param {string} id */
function unfold(id) {
  const dialog = get(id, HTMLDialogElement);
  if (!dialog.open) dialog.showModal();
}

function openDrawer() {
  unfold("drawer");
  layTheDrawer();
}

/** @param {number} round @param {number} across */
function shift(round, across) {
  act(
    charts.turning(round, across),
    round ? `the pattern one bead ${round > 0 ? "up" : "down"} the round` : `the pattern one bead to the ${across > 0 ? "right" : "left"}`,
  );
}

/** @param {"rows" | "columns"} kind @param {boolean} into */
function pair(kind, into) {
  const now = chart();
  const here = lattice.place(now, mat.over.cursor);
  const command =
    kind === "rows"
      ? into
        ? charts.lettingInRows(now, here.row)
        : charts.takingOutRows(now, here.row)
      : into
        ? charts.lettingInColumns(now, here.column)
        : charts.takingOutColumns(now, here.column);
  resize(command, `2 ${kind} ${into ? "let in" : "taken out"}`);
}

/** @param {Command | null} command @param {string} said */
function resize(command, said) {
  hands.letGo();
  if (!command) return say("The band can have no more and no fewer than that");
  act(command, said);
  const { columns, rows } = chart();
  wish({ columns: String(columns), rows: String(rows), "length-by": chart().closed ? "rows" : "open" });
}

/** @type {Record<string, () => void>} */
const KEYED = {
  " ": () => hands.pressHere(),
  Enter: () => hands.pressHere(),
  ",": () => nextDish(-1),
  ".": () => nextDish(1),
  b: () => hands.use("bead"),
  l: () => hands.use("line"),
  p: () => hands.use("pour"),
  t: () => hands.use("take"),
  o: () => hands.use("motif"),
  c: () => hands.copy(),
  f: () => hands.flip(),
  Escape: () => hands.letGo(),
  Delete: () => hands.fillBox(charts.commonest(chart())),
  Backspace: () => hands.fillBox(charts.commonest(chart())),
  x: () => hands.alike("columns"),
  "Shift+x": () => hands.alike("rows"),
  r: () => pair("rows", true),
  "Shift+r": () => pair("rows", false),
  k: () => pair("columns", true),
  "Shift+k": () => pair("columns", false),
  "+": () => mat.zoomBy(1),
  "=": () => mat.zoomBy(1),
  "Shift++": () => mat.zoomBy(1),
  "-": () => mat.zoomBy(-1),
  0: () => mat.fit(),
  d: openDrawer,
  "?": () => unfold("keys"),
  "Shift+?": () => unfold("keys"),
};
for (const way of /** @type {const} */ (["Left", "Right", "Up", "Down"])) {
  const [rows, columns] = { Left: [0, -2], Right: [0, 2], Up: [2, 0], Down: [-2, 0] }[way];
  const word = /** @type {"left" | "right" | "up" | "down"} */ (way.toLowerCase());
  KEYED[`Arrow${way}`] = () => hands.walk(word, 1);
  KEYED[`Ctrl+Arrow${way}`] = () => hands.walk(word, 10);
  KEYED[`Alt+Arrow${way}`] = () => hands.move(rows, columns);
  KEYED[`Shift+Alt+Arrow${way}`] = () => shift(rows / 2, columns / 2);
}
/** @type {Record<string, () => void>} */
const ANYWHERE = {
  "Ctrl+z": () => back("undo"),
  "Ctrl+Shift+z": () => back("redo"),
  "Ctrl+y": () => back("redo"),
  "Ctrl+s": () => void save(),
  "Ctrl+o": () => void openChart(),
};

async function openChart() {
  const file = await files.choose("pick-chart");
  if (file) await takeFile(file);
}

function listen() {
  const on = (/** @type {string} */ id, /** @type {() => void} */ does) => part(id).addEventListener("click", does);
  part("stage").addEventListener("keydown", (event) => {
    const key = pressed(event);
    const does =
      KEYED[key] ??
      (/^[1-9]$/.test(key)
        ? () => {
            const colour = order()[Number(key) - 1];
            if (colour) takeInHand(colour);
          }
        : undefined);
    if (!does || !desk.history) return;
    event.preventDefault();
    does();
  });
  document.addEventListener("keydown", (event) => {
    const does = ANYWHERE[pressed(event)];
    const typing = event.target instanceof HTMLInputElement && /text|search|number/.test(event.target.type) && /z|y/.test(event.key.toLowerCase());
    if (!does || typing || !desk.history) return;
    event.preventDefault();
    does();
  });
  on("open-chart", () => void openChart());
  on("save-chart", () => void save());
  on("undo", () => back("undo"));
  on("redo", () => back("redo"));
  on("nearer", () => mat.zoomBy(1));
  on("further", () => mat.zoomBy(-1));
  on("whole", () => mat.fit());
  on("alike-columns", () => hands.alike("columns"));
  on("alike-rows", () => hands.alike("rows"));
  on("shift-up", () => shift(1, 0));
  on("shift-down", () => shift(-1, 0));
  on("shift-left", () => shift(0, -1));
  on("shift-right", () => shift(0, 1));
  on("rows-in", () => pair("rows", true));
  on("rows-out", () => pair("rows", false));
  on("columns-in", () => pair("columns", true));
  on("columns-out", () => pair("columns", false));
  on("edges-in", () => resize(charts.edging(chart(), true), "2 columns at each edge"));
  on("edges-out", () => resize(charts.edging(chart(), false), "2 columns off each edge"));
  for (const button of part("hands").querySelectorAll("button")) {
    button.addEventListener("click", () => hands.use(/** @type {import('./hands.js').Tool} */ (button.dataset.tool)));
  }
  part("motif-acts").addEventListener("click", (event) => {
    const deed = event.target instanceof HTMLElement ? event.target.dataset.act : undefined;
    if (deed === "copy") hands.copy();
    if (deed === "flip") hands.flip();
    if (deed === "pour") hands.fillBox(hand());
    if (deed === "leave") hands.letGo();
  });
  listenToSides(on);
  listenToDialogs(on);
  files.catchDrops((file) => void takeFile(file));
  window.addEventListener("beforeunload", (event) => {
    if (isUnsaved() && desk.refused) event.preventDefault();
  });
  window.addEventListener("pagehide", () => {
    void keep();
    navigator.sendBeacon("bye");
  });
  asking.watch((lost) => {
    part("lost").hidden = !lost;
    if (lost) asking.listenForReturn(3000);
    else {
      say("The program answers again");
      factsLater();
    }
  });
  on("lost-again", () => void asking.raw("begin").catch(() => say("It does not answer yet")));
  on("fault-close", () => {
    part("fault").hidden = true;
  });
}

/** @param {(id: string, does: () => void) => void} on */
function listenToSides(on) {
  const choosePicture = async () => {
    const file = await files.choose("pick-picture");
    if (file) await takeFile(file);
  };
  on("picture-choose", () => void choosePicture());
  on("picture-other", () => void choosePicture());
  on("picture-away", putPictureAway);
  part("wishes").addEventListener("input", () => wishesChanged());
  part("wishes").addEventListener("submit", (event) => {
    event.preventDefault();
    void remake();
  });
  on("pins", () => {
    mat.over.pins = !mat.over.pins;
    part("pins").setAttribute("aria-pressed", String(mat.over.pins));
    mat.soon();
  });
  on("hand-own", () => tick(hand(), "own"));
  on("hand-pin", () => tick(hand(), "pin"));
  on("hand-ban", () => tick(hand(), "ban"));
  const swap = get("swap", HTMLSelectElement);
  swap.addEventListener("change", () => {
    const by = order().find((colour) => colour.code === swap.value);
    const from = hand();
    if (!by) return;
    act(charts.replacing(chart(), from.code, by), `${by.name} in place of ${from.name}`);
    takeInHand(by);
  });
  const title = get("title", HTMLInputElement);
  title.addEventListener("change", () => {
    const words = title.value.trim();
    const { title: before, notes } = chart();
    if (words === (before ?? "")) return;
    const rest = notes === undefined ? {} : { notes };
    act({ kind: "words", from: before === undefined ? rest : { title: before, ...rest }, to: words ? { title: words, ...rest } : rest }, "the name");
  });
  get("seen-from", HTMLSelectElement).addEventListener("change", () => void askSeen());
  on("lamp", () => {
    const dark = document.documentElement.dataset.lamp ?? (matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light");
    light(dark === "dark" ? "light" : "dark");
  });
}

/** @param {string} lamp */
function light(lamp) {
  document.documentElement.dataset.lamp = lamp;
  keeping.remember("lamp", lamp);
  mat.soon();
}

/** @param {(id: string, does: () => void) => void} on */
function listenToDialogs(on) {
  on("drawer-open", openDrawer);
  on("drawer-close", () => shut("drawer"));
  get("drawer-seek", HTMLInputElement).addEventListener("input", layTheDrawer);
  get("palette-choice", HTMLSelectElement).addEventListener("change", () => {
    const { value } = get("palette-choice", HTMLSelectElement);
    const known = desk.begin.palettes.find((/** @type {{name: string}} */ each) => each.name === value);
    if (known) void takePalette(known.name, known.text, true);
  });
  on("palette-open", async () => {
    const file = await files.choose("pick-palette");
    if (file) await takeFile(file);
  });
  layKeys();
  on("keys-open", () => unfold("keys"));
  on("keys-close", () => shut("keys"));
  const slider = get("card-width", HTMLInputElement);
  const layCard = () => {
    part("card").style.width = `${slider.value}px`;
    part("card").style.height = `${(Number(slider.value) * CARD.height) / CARD.width}px`;
  };
  on("measure-open", () => {
    slider.value = String(scale().pixels * CARD.width);
    layCard();
    unfold("measure");
  });
  slider.addEventListener("input", layCard);
  on("measure-keep", () => {
    measured(Number(slider.value));
    shut("measure");
    layMeasure();
    trueLater();
    say("This screen is measured: the band beside the ring has its true size");
  });
  on("measure-leave", () => shut("measure"));
  on("weave-open", () => void heed(() => follow.open(textOf(), fileName())));
  on("weave-close", () => follow.close());
  for (const dialog of document.querySelectorAll("dialog")) {
    dialog.addEventListener("click", (event) => {
      if (event.target === dialog) dialog.close();
    });
    dialog.addEventListener("close", () => {
      if (dialog.id === "drawer") part("stage").focus({ preventScroll: true });
    });
  }
}

function layMeasure() {
  part("measure-open").textContent = scale().measured ? "true size" : "true size?";
  part("measure-open").title = scale().measured
    ? "The band at true size; measure this screen again"
    : "Measure this screen once with a bank card, so that the size is true";
}

function layOffers() {
  /** @type {string[]} */
  const offers = desk.begin.offers ?? [];
  /** @type {{kind: string, ending: string}[]} */
  const known = desk.begin.kinds ?? [];
  const kinds = Object.entries(files.KINDS)
    .flatMap(([kind, words]) => {
      const found = known.find((each) => each.kind === kind);
      return found ? [{ kind, words, ending: found.ending.replace(/^.*\./, "") }] : [];
    })
    .map(({ kind, words, ending }) => {
      const button = make("button", { type: "button" }, make("span", {}, words), make("span", { class: "ending" }, `.${ending}`));
      button.addEventListener("click", () => {
        part("hand-on-list").hidePopover();
        void handOn(kind, ending);
      });
      return button;
    });
  part("hand-on-kinds").replaceChildren(...kinds);
  part("weave-open").hidden = !offers.includes("follow");
  part("seen-from").hidden = !offers.includes("seen");
  part("calm-field").hidden = !offers.includes("calm");
  part("sizes").replaceChildren(...(desk.begin.sizes ?? []).map((/** @type {string} */ size) => make("option", { value: size })));
  part("bead").replaceChildren(
    ...(desk.begin.beads ?? []).map((/** @type {{name: string, length_mm: number, diameter_mm: number}} */ bead) =>
      make("option", { value: bead.name.replace(/\/0$/, "") }, bead.name),
    ),
  );
}

async function comeUp() {
  furnish(document);
  const lamp = keeping.remembered("lamp");
  if (lamp) document.documentElement.dataset.lamp = lamp;
  layMeasure();
  listen();
  suit();
  layPicture();
  const { refused: isRefused, slot } = await keeping.begin();
  const answer = await heed(() => asking.ask("begin"));
  if (answer) desk.begin = answer;
  layOffers();
  if (isRefused) refused();
  const { file } = desk.begin;
  const elsewhere = slot?.unsaved && file && slot.work.file !== file.name;
  if (slot && (slot.unsaved || !file) && !elsewhere) {
    await takeUp(slot.work);
    if (slot.unsaved) say("Your unsaved work is back as you left it");
  } else {
    const first = desk.begin.palettes[0];
    if (first) await takePalette(first.name, first.text);
    if (elsewhere) await offerSlot(slot);
    if (file) await takeChart(file.name, file.text);
    if (!desk.history) await remake();
  }
  desk.ready = true;
  keepLater();
  document.documentElement.dataset.ready = "yes";
}

/** Unsaved work of another file waits; she says whether she wants it now. @param {import('./keep.js').Slot} slot */
async function offerSlot(slot) {
  const picture = await keeping.keptPicture();
  await keeping.another();
  part("offer-words").textContent =
    `Unsaved work on ${slot.work.chart.title ?? (slot.work.file || "a band without a name")} is kept from ${new Date(slot.when).toLocaleString("en-GB", { dateStyle: "medium", timeStyle: "short" })}.`;
  part("offer").hidden = false;
  part("offer-take").onclick = async () => {
    part("offer").hidden = true;
    if (picture) await keeping.keepPicture(picture);
    await takeUp(slot.work);
    keepLater();
  };
  part("offer-leave").onclick = () => {
    part("offer").hidden = true;
  };
}

// For the tests, and for whoever looks under the table.
Object.assign(window, { upbeadDesk: { desk, mat, hands, charts, lattice, textOf, act, size } });

void comeUp();
