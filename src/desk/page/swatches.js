// The swatches on both sides of the band: a pile of beads for each colour, with its bead key, its
// count and what is in stock.

import { drawPile } from "./bead-drawing.js";
import { create, element } from "./dom.js";
import { grams, number } from "./format.js";
import { icon } from "./icons.js";

/** @typedef {import("./chart.js").Colour} Colour */
/**
 * @typedef {object} Swatch
 * @property {Colour} colour
 * @property {string} key the bead key, empty for a colour that the chart does not have
 * @property {number} count
 * @property {number | null} grams needed
 * @property {number} short beads that are missing in stock
 * @property {boolean} isInStock
 * @property {boolean} isKept
 * @property {boolean} isExcluded
 * @property {boolean} isCurrent
 */

/** Width of a pile in CSS pixels. */
const PILE = 60;
/** Colours that have a number key as a shortcut. */
const NUMBER_KEYS = 9;

/**
 * Shows the swatches, alternately left and right of the band.
 * @param {Swatch[]} swatches
 * @param {(colour: Colour) => void} onClick
 */
export function renderSwatches(swatches, onClick) {
  const sides = [element("swatches-left"), element("swatches-right")];
  const { activeElement } = document;
  const focused = activeElement instanceof HTMLElement ? activeElement.dataset.code : undefined;
  const known = knownButtons();
  /** @type {HTMLButtonElement[][]} */
  const buttons = [[], []];
  swatches.forEach((swatch, nth) => {
    const old = known.get(swatch.colour.code);
    // A button stands for one colour; another colour with the same code gets its own.
    const isSame = old?.dataset.colour === colourKey(swatch.colour);
    const button = old && isSame ? old : newButton(swatch.colour, onClick);
    update(button, swatch, nth);
    buttons[nth % 2].push(button);
  });
  sides.forEach((side, nth) => {
    const isSame =
      side.children.length === buttons[nth].length &&
      buttons[nth].every((button, at) => side.children[at] === button);
    if (!isSame) side.replaceChildren(...buttons[nth]);
    arrange(buttons[nth], nth ? 1 : -1);
  });
  if (focused) focusButton(focused);
}

/** The buttons on the page by their colour's code. */
function knownButtons() {
  const buttons = /** @type {HTMLButtonElement[]} */ ([
    ...document.querySelectorAll("button.swatch"),
  ]);
  return new Map(buttons.map((button) => [button.dataset.code ?? "", button]));
}

/**
 * Arranges a side in an arc, the middle ones farthest from the band.
 * @param {HTMLButtonElement[]} buttons
 * @param {1 | -1} side
 */
function arrange(buttons, side) {
  buttons.forEach((button, at) => {
    const off = buttons.length < 2 ? 0 : (2 * at) / (buttons.length - 1) - 1;
    button.style.setProperty("--offset", String((side * (0.5 - off * off)).toFixed(3)));
  });
}

/** @param {string} code */
function focusButton(code) {
  const button = document.querySelector(`button.swatch[data-code="${CSS.escape(code)}"]`);
  if (button instanceof HTMLElement) button.focus({ preventScroll: true });
}

/** @param {Colour} colour */
function colourKey({ code, name, hex }) {
  return `${code} ${name} ${hex}`;
}

/**
 * @param {Colour} colour
 * @param {(colour: Colour) => void} onClick
 */
function newButton(colour, onClick) {
  const button = create(
    "button",
    {
      type: "button",
      class: "swatch",
      "data-code": colour.code,
      "data-colour": colourKey(colour),
    },
    create("canvas", { class: "bead-pile", "aria-hidden": "true" }),
    create("span", { class: "swatch-name" }),
    create("span", { class: "swatch-count" }),
    create("span", { class: "visually-hidden" }),
    create("span", { class: "swatch-icons" }),
  );
  button.addEventListener("click", () => onClick(colour));
  return button;
}

/**
 * Shows what a swatch says now, if it has changed.
 * @param {HTMLButtonElement} button
 * @param {Swatch} swatch
 * @param {number} nth
 */
function update(button, swatch, nth) {
  const { colour, count } = swatch;
  const shortcut = nth < NUMBER_KEYS ? `${nth + 1}` : "";
  const shown = JSON.stringify({ ...swatch, shortcut });
  if (button.dataset.shown === shown) return;
  button.dataset.shown = shown;
  button.setAttribute("aria-pressed", String(swatch.isCurrent));
  button.classList.toggle("short", swatch.short > 0);
  button.classList.toggle("empty", count === 0);
  const [pile, name, amount, more, icons] = /** @type {[HTMLCanvasElement, ...HTMLElement[]]} */ (
    /** @type {unknown} */ ([...button.children])
  );
  drawPile(pile, { size: PILE, colour, count });
  name.textContent = colour.name;
  amount.replaceChildren(...amountParts(swatch));
  icons.replaceChildren(
    ...(swatch.isKept ? [icon("marker")] : []),
    ...(swatch.isExcluded ? [icon("exclude")] : []),
  );
  button.title = describe(colour) + (shortcut ? `; press ${shortcut}` : "");
  const states = [
    swatch.isInStock ? "" : "not in stock",
    swatch.isKept ? "kept in" : "",
    swatch.isExcluded ? "left out" : "",
  ];
  more.textContent = states
    .filter(Boolean)
    .map((word) => `, ${word}`)
    .join("");
}

/**
 * Bead key, count and grams, or how many beads are short.
 * @param {Swatch} swatch
 */
function amountParts({ key, count, short, grams: weight }) {
  if (count === 0) return [];
  const amount = [key, number(count), weight && !short ? grams(weight) : ""];
  const missing = short > 0 ? [create("br"), `${number(short)} short`] : [];
  return [amount.filter(Boolean).join(" · "), ...missing];
}

/**
 * `jersey navy (quay-58, opaque)`.
 * @param {Colour} colour
 */
export function describe({ name, code, finish }) {
  return `${name} (${code}${finish ? `, ${finish}` : ""})`;
}
