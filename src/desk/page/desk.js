// The desk comes up: keys and buttons find their deeds.

import * as asking from "./ask.js";
import * as charts from "./chart.js";
import { furnish, get, part, say } from "./dom.js";
import * as files from "./files.js";
import { size } from "./hands.js";
import * as keeping from "./keep.js";
import { pressed } from "./keys.js";
import * as lattice from "./lattice.js";
import { followPlace, suit } from "./picture.js";
import { chart, desk, hand, isUnsaved, textOf } from "./state.js";
import { given, hands, mat } from "./table.js";
import { layHands, layPicture, order, where } from "./lay.js";
import { askSeen, heed } from "./program.js";
import { keepLast, moveOut, refused } from "./work.js";
import { act, back, factsLater, keepLater, nextDish, pair, resize, shift, takeInHand } from "./deeds.js";
import { remake, wishesChanged } from "./make.js";
import { besideLater } from "./anew.js";
import { layGauge } from "./gauge.js";
import { openDrawer, tick, unfold } from "./chest.js";
import { offerLeft, offerSlot, openChart, putPictureAway, takeChart, takeFile, takePalette, takeUp } from "./come.js";
import { save } from "./out.js";
import { layMeasure, layOffers, listenToDialogs } from "./dialogs.js";

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
  rememberFolds();
  listenToDialogs(on);
  files.catchDrops((file) => void takeFile(file));
  window.addEventListener("beforeunload", (event) => {
    if (isUnsaved() && desk.refused) event.preventDefault();
  });
  window.addEventListener("pagehide", () => {
    keepLast();
    navigator.sendBeacon("bye");
  });
  asking.watch((lost) => {
    part("lost").hidden = !lost;
    part("lost-silent").hidden = lost === "moved";
    part("lost-moved").hidden = lost !== "moved";
    part("lost-again").hidden = lost === "moved";
    if (lost === "moved") void moveOut();
    else if (lost) asking.listenForReturn(3000);
    else {
      say("The program answers again");
      factsLater();
    }
  });
  keeping.listen(() => void asking.look(), (id) => void offerLeft(id));
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
  on("picture-begin", () => void choosePicture());
  on("picture-away", putPictureAway);
  followPlace();
  // Words are heeded when they are whole, everything else at once.
  part("wishes").addEventListener("input", besideLater);
  const words = (/** @type {Event} */ event) => event.target instanceof HTMLInputElement && event.target.type === "text";
  part("wishes").addEventListener("input", (event) => {
    if (!words(event)) wishesChanged();
  });
  part("wishes").addEventListener("change", (event) => {
    // Rows that stay are meant for refining alone.
    if (event.target === part("pin")) keepLater();
    else if (words(event)) wishesChanged();
  });
  // What a motif has now is where it begins to be moved.
  part("sits").addEventListener("input", () => {
    const seat = get("seat", HTMLInputElement);
    if (get("sits", HTMLSelectElement).value === "own") seat.value = chart().made.options.seat ?? (seat.value || "1,0,0");
  });
  // What is wrong is unfolded, so that it can be seen.
  part("wishes").addEventListener("invalid", (event) => event.target instanceof HTMLElement && event.target.closest("details")?.setAttribute("open", ""), true);
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
    // Half a letter, as a careless cut leaves it, is none.
    const words = title.value.replace(/\p{Surrogate}/gu, "").trim();
    const { title: before, notes } = chart();
    if (words === (before ?? "")) return;
    const rest = notes === undefined ? {} : { notes };
    act({ kind: "words", from: before === undefined ? rest : { title: before, ...rest }, to: words ? { title: words, ...rest } : rest }, words ? `called ${words}` : "the name taken away");
  });
  get("seen-from", HTMLSelectElement).addEventListener("change", () => void askSeen());
  on("lamp", () => {
    const dark = document.documentElement.dataset.lamp ?? (matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light");
    light(dark === "dark" ? "light" : "dark");
  });
}

/** What was unfolded beside the mat is unfolded again. */
function rememberFolds() {
  const folds = [...part("source").querySelectorAll("details")].filter((fold) => fold.id);
  const open = keeping.remembered("folds") ?? [];
  for (const fold of folds) {
    fold.open = open.includes(fold.id);
    fold.addEventListener("toggle", () => keeping.remember("folds", folds.filter((each) => each.open).map((each) => each.id)));
  }
}

/** @param {string} lamp */
function light(lamp) {
  document.documentElement.dataset.lamp = lamp;
  keeping.remember("lamp", lamp);
  mat.soon();
  // The table's colour lies round what is seen from afar.
  void askSeen();
}

async function comeUp() {
  furnish(document);
  const lamp = keeping.remembered("lamp");
  if (lamp) document.documentElement.dataset.lamp = lamp;
  layMeasure();
  listen();
  suit();
  layPicture();
  const answer = await heed(() => asking.ask("begin"));
  if (answer) desk.begin = answer;
  layOffers();
  suit();
  const { file } = desk.begin;
  const { refused: isRefused, slot } = await keeping.begin(Boolean(file));
  if (isRefused) refused();
  const elsewhere = slot?.unsaved && file && slot.work.file !== file.name;
  if (slot && (slot.unsaved || !file) && !elsewhere) {
    await takeUp(slot);
    if (slot.unsaved) say("Your unsaved work is back as you left it");
  } else {
    const first = desk.begin.palettes[0];
    if (first) await takePalette(first.name, first.text);
    if (elsewhere) {
      await keeping.another();
      offerSlot(slot);
    }
    if (file) await takeChart(file.name, file.text);
    if (!desk.history) await remake();
  }
  besideLater();
  layGauge();
  desk.ready = true;
  document.dispatchEvent(new Event("up"));
  keepLater();
  document.documentElement.dataset.ready = "yes";
}

// For the tests, and for whoever looks under the table.
Object.assign(window, { upbeadDesk: { desk, mat, hands, charts, lattice, textOf, act, size } });

Object.assign(given, { act, takeInHand, layHands, where, wishesChanged });

void comeUp();
