// Puts the page into an element and joins its parts: what is pressed, swiped or typed moves the place; the place is kept and shown.

/** @import { Work } from "./work.js" */
/** @import { Place, Standing } from "./place.js" */
import { backward, beginning, exported, imported, moved, onward, remembered, stepOfRow, undone, written } from "./place.js";
import { keeper } from "./keep.js";
import { awake } from "./awake.js";
import { sentence, view } from "./view.js";

/** Shortest swipe, in pixels, and how much flatter than steep it has to be. */
const SWIPE = [44, 1.6];

/**
 * Mounts the follow-along page; the handle tells the place and takes the page away again.
 * @param {HTMLElement} root
 * @param {Work} work
 * @returns {{standing: () => Standing, stop: () => void}}
 */
export function mount(root, work) {
  const keep = keeper(work.id);
  let now = remembered(work, keep.read()) ?? beginning();
  let lit = false;

  const screen = view(work, {
    next: () => go(onward(work, now)),
    back: () => go(backward(work, now)),
    undo: () => settle(undone(now)),
    count: () => settle({ ...now, counting: !now.counting }),
    again: () => leave({ step: 0, bead: 0 }),
    goTo(row) {
      const step = stepOfRow(work, row);
      if (step < 0) screen.note(`There is no row ${row} here.`);
      else leave({ step, bead: 0 });
    },
    save: () => download(work, now.place),
    async open(file) {
      const taken = imported(work, await file.text());
      if ("fault" in taken) screen.note(taken.fault);
      else leave(taken.place);
    },
  });
  const light = awake((on) => {
    lit = on;
    state();
  });

  /** @param {Standing} next */
  function settle(next) {
    light.ask();
    if (next === now) return;
    now = next;
    keep.write(written(now));
    screen.show(now);
    screen.say(sentence(work, now));
    state();
  }

  /** @param {Place} place */
  function go(place) {
    settle(moved(now, place));
  }

  /** Out of the sheet. @param {Place} place */
  function leave(place) {
    screen.note("");
    screen.sheet.close();
    go(place);
  }

  function state() {
    screen.facts([
      keep.refused()
        ? "This browser keeps nothing for this page: the place stands in the address, and in the file that you save."
        : "The place is kept in this browser.",
      lit ? "The screen stays on while this page is open." : "The screen may go dark: this browser does not keep it on at the moment.",
    ]);
  }

  /** @param {KeyboardEvent} event */
  function typed(event) {
    if (event.defaultPrevented || screen.sheet.open || event.altKey) return;
    const target = event.target instanceof Element ? event.target : null;
    const undoes = (event.ctrlKey || event.metaKey) && !event.shiftKey && event.key.toLowerCase() === "z";
    if (event.ctrlKey || event.metaKey) {
      if (undoes) settle(undone(now));
      if (undoes) event.preventDefault();
      return;
    }
    // A button that has the focus takes space and enter for itself.
    const own = target?.closest("button, summary, input, select, textarea, a[href], label") && [" ", "Enter"].includes(event.key);
    if (own || target?.closest("input, select, textarea")) return;
    if (["ArrowRight", " ", "Enter"].includes(event.key)) go(onward(work, now));
    else if (event.key === "ArrowLeft") go(backward(work, now));
    else return;
    event.preventDefault();
  }

  /** @type {{id: number, x: number, y: number} | null} */
  let finger = null;
  screen.mat.addEventListener("pointerdown", (event) => {
    finger = event.pointerType === "mouse" || !event.isPrimary ? null : { id: event.pointerId, x: event.clientX, y: event.clientY };
  });
  screen.mat.addEventListener("pointercancel", () => (finger = null));
  screen.mat.addEventListener("pointerup", (event) => {
    if (finger?.id !== event.pointerId) return;
    const [x, y] = [event.clientX - finger.x, event.clientY - finger.y];
    finger = null;
    const [far = 44, flat = 1.6] = SWIPE;
    if (Math.abs(x) < far || Math.abs(x) < flat * Math.abs(y)) return;
    go(x < 0 ? onward(work, now) : backward(work, now));
  });

  // The same chart followed in another window of this browser.
  const heard = (/** @type {StorageEvent} */ event) => {
    const there = keep.heard(event.key) ? remembered(work, event.newValue) : null;
    if (there) screen.show((now = there));
  };
  document.addEventListener("keydown", typed);
  window.addEventListener("storage", heard);
  root.replaceChildren(screen.root);
  screen.show(now);
  state();
  light.ask();
  return {
    standing: () => now,
    stop() {
      document.removeEventListener("keydown", typed);
      window.removeEventListener("storage", heard);
      light.stop();
      screen.stop();
      root.replaceChildren();
    },
  };
}

/**
 * Hands the place out as a file.
 * @param {Work} work
 * @param {Place} place
 */
function download(work, place) {
  const address = URL.createObjectURL(new Blob([exported(work, place)], { type: "application/json" }));
  const link = document.createElement("a");
  const name = work.title.replace(/\.json$/, "").replace(/[^\p{L}\p{N}]+/gu, "-").replace(/^-+|-+$/g, "");
  link.href = address;
  link.download = `${name || "band"}-place.json`;
  link.click();
  window.setTimeout(() => URL.revokeObjectURL(address), 10_000);
}
