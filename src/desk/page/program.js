// What the page asks the program of a chart: facts, and how it is seen from afar; and what is done where there is no answer.

import * as asking from "./ask.js";
import { get, part } from "./dom.js";
import { beadsOf, layNumbers } from "./facts.js";
import { gauge } from "./picture.js";
import { layBeside, scale } from "./size.js";
import { chart, desk, textOf } from "./state.js";
import { fault, forgive } from "./notice.js";
import { mat } from "./table.js";
import { layTheDishes, layTheFindings } from "./lay.js";

/** A finding that speaks of more beads than this is pinned only when it is chosen. */
const MOST_PINS = 24;

/** Runs something that asks; shows what went wrong. @template T @param {() => Promise<T>} what @param {string} [about] @param {string} [of] what goes wrong, if it does @returns {Promise<T | undefined>} */
export async function heed(what, about = "", of = "") {
  try {
    return await what();
  } catch (cause) {
    if (cause instanceof asking.NoAnswer) {
      if (cause.kind === "fault") fault(cause.fault, about, false, of);
    } else {
      fault({ what: cause instanceof Error ? cause.message : String(cause) }, about);
    }
    return undefined;
  }
}

/** Asks; where the program has forgotten picture or palette, sends them again, once. @template T @param {() => Promise<T>} what @returns {Promise<T>} */
export async function remembering(what) {
  try {
    return await what();
  } catch (cause) {
    if (!(cause instanceof asking.NoAnswer) || cause.kind !== "gone") throw cause;
    if (desk.picture) await asking.ask(`picture?name=${encodeURIComponent(desk.picture.name)}`, { raw: desk.picture.bytes });
    if (desk.palette) await asking.ask(`palette?name=${encodeURIComponent(desk.palette.file)}`, { raw: desk.palette.text });
    return await what();
  }
}

/** What the kit is reckoned for, as it is said where things are handed on. */
function reckoned() {
  const value = (/** @type {string} */ option) => /** @type {HTMLInputElement | null} */ (document.querySelector(`[data-option="${option}"]`))?.value.trim() || undefined;
  return { make: value("make") ?? 1, spare: value("spare") ?? 10, thread: value("thread"), tail: value("tail"), length: value("length") };
}

export async function askFacts() {
  const text = textOf();
  const answer = await heed(
    () =>
      remembering(() =>
        asking.ask("facts", {
          body: { chart: text, palette: desk.palette ? { id: desk.palette.id } : undefined, ...reckoned(), ...gauge() },
          lane: "facts",
        }),
      ),
    "",
    "facts",
  );
  if (answer) forgive("facts");
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

/** Dots to the inch that a picture may have. */
const DOTS = { least: 30, most: 1200 };
const INCH = 25.4;

/** The colour of the table, six digits. */
function table() {
  const parts = /(\d+)\D+(\d+)\D+(\d+)/.exec(getComputedStyle(document.body).backgroundColor) ?? [];
  return parts
    .slice(1)
    .map((part) => Number(part).toString(16).padStart(2, "0"))
    .join("");
}

/** The band as it is seen from afar: as large as it looks there, where the screen is 300 mm from the eyes, and as fine as the screen. */
export async function askSeen() {
  const mm = get("seen-from", HTMLSelectElement).value;
  const image = get("seen", HTMLImageElement);
  const plain = part("true-band");
  if (!mm) {
    asking.leave("seen");
    image.hidden = true;
    plain.hidden = false;
    layBeside(plain);
    return;
  }
  const { pixels } = scale();
  const density = Math.max(DOTS.least, Math.min(DOTS.most, Math.round(pixels * INCH * (window.devicePixelRatio || 1))));
  const body = { chart: textOf(), mm: Number(mm), ground: table(), density, bare: true };
  const answer = await heed(() => asking.raw("seen", { body, lane: "seen" }));
  if (!answer) return;
  const shown = URL.createObjectURL(await answer.blob());
  // She may have chosen another distance meanwhile.
  const isWanted = () => get("seen-from", HTMLSelectElement).value === mm;
  if (!isWanted()) return URL.revokeObjectURL(shown);
  URL.revokeObjectURL(image.src);
  image.src = shown;
  await image.decode().catch(() => undefined);
  if (!isWanted() || image.src !== shown) return;
  image.style.width = `${(image.naturalWidth * INCH * pixels) / density}px`;
  image.alt = "The band as it is seen from there";
  image.hidden = false;
  plain.hidden = true;
  layBeside(image);
}
