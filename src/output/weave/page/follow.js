// Puts the page into an element: presses, swipes and keys move the place, which is stored and
// shown.

/** @import { Work } from "./work.js" */
/** @import { Place, Progress } from "./place.js" */
import { firstProgress, movedTo, nextPlace, previousPlace } from "./place.js";
import { readPlaceFile, readProgress, stepOfRow, undoneMove } from "./place.js";
import { writePlaceFile, writeProgress } from "./place.js";
import { placeStore } from "./keep.js";
import { keepAwake } from "./awake.js";
import { stepSentence, View } from "./view.js";

/** The shortest swipe in pixels, and how many times wider than high it has to be. */
const SWIPE = { length: 44, flatness: 1.6 };
/** How long the address of a saved file is kept, in milliseconds. */
const URL_LIFETIME = 10_000;

/**
 * Mounts the follow-along page. The handle tells the progress and removes the page again.
 * @param {HTMLElement} root
 * @param {Work} work
 * @returns {{progress: () => Progress, stop: () => void}}
 */
export function mount(root, work) {
  const page = new FollowPage(work);
  root.replaceChildren(page.view.root);
  page.start();
  return {
    progress: () => page.now,
    stop() {
      page.stop();
      root.replaceChildren();
    },
  };
}

class FollowPage {
  /** @param {Work} work */
  constructor(work) {
    this.work = work;
    this.store = placeStore(work.id);
    this.now = readProgress(work, this.store.read()) ?? firstProgress();
    this.isScreenOn = false;
    /** The finger that may swipe. @type {{id: number, x: number, y: number} | null} */
    this.finger = null;
    this.view = new View(work, {
      next: () => this.goTo(nextPlace(work, this.now)),
      back: () => this.goTo(previousPlace(work, this.now)),
      undo: () => this.update(undoneMove(this.now)),
      toggleCounting: () => this.update({ ...this.now, counting: !this.now.counting }),
      toggleTurned: () => this.update({ ...this.now, isTurned: !this.now.isTurned }),
      restart: () => this.leaveSheet({ step: 0, bead: 0 }),
      goToRow: (row) => this.goToRow(row),
      save: () => savePlace(work, this.now.place),
      open: (file) => void this.openPlace(file),
    });
    this.awake = keepAwake((isOn) => {
      this.isScreenOn = isOn;
      this.showStatus();
    });
    this.onKey = (/** @type {KeyboardEvent} */ event) => this.handleKey(event);
    this.onStorage = (/** @type {StorageEvent} */ event) => this.followOther(event);
  }

  start() {
    const { card } = this.view;
    document.addEventListener("keydown", this.onKey);
    window.addEventListener("storage", this.onStorage);
    card.addEventListener("pointerdown", (event) => this.startSwipe(event));
    card.addEventListener("pointercancel", () => (this.finger = null));
    card.addEventListener("pointerup", (event) => this.endSwipe(event));
    this.view.show(this.now);
    this.showStatus();
    this.awake.request();
  }

  stop() {
    document.removeEventListener("keydown", this.onKey);
    window.removeEventListener("storage", this.onStorage);
    this.awake.stop();
    this.view.stop();
  }

  /** @param {Progress} next */
  update(next) {
    this.awake.request();
    if (next === this.now) return;
    this.now = next;
    this.store.write(writeProgress(next));
    this.view.show(next);
    this.view.announce(stepSentence(this.work, next));
    this.showStatus();
  }

  /** @param {Place} place */
  goTo(place) {
    this.update(movedTo(this.now, place));
  }

  /**
   * Closes the sheet and goes to a place.
   * @param {Place} place
   */
  leaveSheet(place) {
    this.view.sheet.say("");
    this.view.sheet.element.close();
    this.goTo(place);
  }

  /** @param {number} row */
  goToRow(row) {
    const step = stepOfRow(this.work, row);
    if (step < 0) this.view.sheet.say(`This chart has no row ${row}.`);
    else this.leaveSheet({ step, bead: 0 });
  }

  /** @param {File} file */
  async openPlace(file) {
    const found = readPlaceFile(this.work, await file.text());
    if ("fault" in found) this.view.sheet.say(found.fault);
    else this.leaveSheet(found.place);
  }

  showStatus() {
    this.view.sheet.showStatus([
      this.store.isRefused()
        ? "This browser does not store your place for this page. Your place is in the page's " +
          "address and in the file that you save."
        : "Your place is stored in this browser.",
      this.isScreenOn
        ? "The screen stays on while this page is open."
        : "The screen may go dark: this browser does not keep it on at the moment.",
    ]);
  }

  /** @param {KeyboardEvent} event */
  handleKey(event) {
    if (event.defaultPrevented || this.view.sheet.element.open || event.altKey) return;
    if (event.ctrlKey || event.metaKey) {
      if (event.shiftKey || event.key.toLowerCase() !== "z") return;
      this.update(undoneMove(this.now));
    } else if (isForElement(event)) {
      return;
    } else if (["ArrowRight", " ", "Enter"].includes(event.key)) {
      this.goTo(nextPlace(this.work, this.now));
    } else if (event.key === "ArrowLeft") {
      this.goTo(previousPlace(this.work, this.now));
    } else {
      return;
    }
    event.preventDefault();
  }

  /** @param {PointerEvent} event */
  startSwipe(event) {
    const isFinger = event.pointerType !== "mouse" && event.isPrimary;
    const { pointerId: id, clientX: x, clientY: y } = event;
    this.finger = isFinger ? { id, x, y } : null;
  }

  /** @param {PointerEvent} event */
  endSwipe(event) {
    const { finger } = this;
    if (finger?.id !== event.pointerId) return;
    this.finger = null;
    const [x, y] = [event.clientX - finger.x, event.clientY - finger.y];
    if (Math.abs(x) < SWIPE.length || Math.abs(x) < SWIPE.flatness * Math.abs(y)) return;
    this.goTo(x < 0 ? nextPlace(this.work, this.now) : previousPlace(this.work, this.now));
  }

  /**
   * The same chart is followed in another window of this browser.
   * @param {StorageEvent} event
   */
  followOther(event) {
    const other = this.store.isOwnKey(event.key) ? readProgress(this.work, event.newValue) : null;
    if (!other) return;
    this.now = other;
    this.view.show(other);
  }
}

/**
 * Whether the element with the focus takes a key for itself.
 * @param {KeyboardEvent} event
 */
function isForElement({ target, key }) {
  const element = target instanceof Element ? target : null;
  if (element?.closest("input, select, textarea")) return true;
  return (
    [" ", "Enter"].includes(key) && Boolean(element?.closest("button, summary, a[href], label"))
  );
}

/**
 * Saves the place to a file.
 * @param {Work} work
 * @param {Place} place
 */
function savePlace(work, place) {
  const blob = new Blob([writePlaceFile(work, place)], { type: "application/json" });
  const link = document.createElement("a");
  const words = work.title.replace(/\.json$/, "").replace(/[^\p{L}\p{N}]+/gu, "-");
  link.href = URL.createObjectURL(blob);
  link.download = `${words.replace(/^-+|-+$/g, "") || "band"}-place.json`;
  link.click();
  window.setTimeout(() => URL.revokeObjectURL(link.href), URL_LIFETIME);
}
