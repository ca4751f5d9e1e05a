// What is under way, once it takes longer than a second: what it is, for how long, and how to stop
// it.

import { element, get } from "./dom.js";

/** Work that takes no longer is not spoken of, in milliseconds. */
const SHORT = 1000;

/** @typedef {{what: string, start: number, stop?: () => void}} Work */

/** What is under way, the oldest first. @type {Set<Work>} */
const running = new Set();
/** @type {ReturnType<typeof setInterval> | undefined} */
let timer;

/**
 * Runs work and shows it while it takes longer than a second.
 * @template T
 * @param {string} what it is, such as `Making band.pdf`
 * @param {() => Promise<T>} run
 * @param {() => void} [stop] stops it, where it can be stopped
 * @returns {Promise<T>}
 */
export async function withProgress(what, run, stop) {
  const work = { what, start: performance.now(), stop };
  running.add(work);
  timer ??= setInterval(show, SHORT / 4);
  try {
    return await run();
  } finally {
    running.delete(work);
    show();
  }
}

/** Shows the oldest work that takes long. */
function show() {
  const now = performance.now();
  const work = [...running].find(({ start }) => now - start >= SHORT);
  element("progress").hidden = !work;
  if (!running.size) {
    clearInterval(timer);
    timer = undefined;
  }
  if (!work) return;
  const seconds = Math.floor((now - work.start) / 1000);
  const text = `${work.what} … ${seconds} s`;
  if (element("progress-text").textContent !== text) element("progress-text").textContent = text;
  const stop = get("progress-stop", HTMLButtonElement);
  stop.hidden = work.stop === undefined;
  stop.onclick = work.stop ?? null;
}
