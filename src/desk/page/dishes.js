// The colours as little dishes round the mat, each with its beads, their count and what is owned; and the drawer, from which more are taken.

import { heap, heapWord } from "./beads.js";
import { drawing, make, number, part } from "./dom.js";

/** @typedef {import('./chart.js').Colour} Colour */
/** A colour of the drawer: what the palette says of it.
 * @typedef {Colour & {grams?: number | null, per_gram?: number | null, price?: number | null}} Stocked */
/** @typedef {object} Dish one dish on the mat @property {Colour} colour @property {number} count @property {number | null} grams needed
 * @property {number} lacking beads that the drawer is short of @property {boolean} owned @property {boolean} pinned @property {boolean} banned
 * @property {boolean} inHand */

/** Grams in few digits. @param {number} grams */
export function grams(grams) {
  return `${grams.toFixed(grams < 0.1 ? 2 : grams < 10 ? 1 : 0)} g`;
}

/** Puts the dishes on both sides of the band. @param {Dish[]} dishes @param {(colour: Colour) => void} taken */
export function layDishes(dishes, taken) {
  const sides = [part("dishes-left"), part("dishes-right")];
  const held = document.activeElement instanceof HTMLElement ? document.activeElement.dataset.code : undefined;
  const old = new Map([...document.querySelectorAll("button.dish")].map((dish) => [/** @type {HTMLElement} */ (dish).dataset.code, dish]));
  /** @type {HTMLElement[][]} */
  const laid = [[], []];
  dishes.forEach((dish, nth) => {
    const known = /** @type {HTMLButtonElement | undefined} */ (old.get(dish.colour.code));
    // A dish gives the colour it was made for; another colour of the same code has a dish of its own.
    const button = known?.dataset.colour === wordOf(dish.colour) ? known : newDish(dish.colour, taken);
    fill(button, dish, nth);
    laid[nth % 2].push(button);
  });
  sides.forEach((side, nth) => {
    const same = side.children.length === laid[nth].length && laid[nth].every((dish, at) => side.children[at] === dish);
    if (!same) side.replaceChildren(...laid[nth]);
    // They stand in an arc, the middle ones farthest from the band.
    laid[nth].forEach((dish, at) => {
      const off = laid[nth].length < 2 ? 0 : (2 * at) / (laid[nth].length - 1) - 1;
      dish.style.setProperty("--off", String(((nth ? 1 : -1) * (0.5 - off * off)).toFixed(3)));
    });
  });
  if (held) /** @type {HTMLElement | null} */ (document.querySelector(`button.dish[data-code="${CSS.escape(held)}"]`))?.focus({ preventScroll: true });
}

/** @param {Colour} colour */
function wordOf({ code, name, hex }) {
  return `${code} ${name} ${hex}`;
}

/** @param {Colour} colour @param {(colour: Colour) => void} taken */
function newDish(colour, taken) {
  const button = make(
    "button",
    { type: "button", class: "dish", "data-code": colour.code, "data-colour": wordOf(colour) },
    make("canvas", { class: "heap", "aria-hidden": "true" }),
    make("span", { class: "dish-name" }),
    make("span", { class: "dish-count" }),
    make("span", { class: "unseen" }),
    make("span", { class: "marks" }),
  );
  button.addEventListener("click", () => taken(colour));
  return button;
}

/** @param {HTMLButtonElement} button @param {Dish} dish @param {number} nth */
function fill(button, dish, nth) {
  const { colour, count } = dish;
  const key = nth < 9 ? `${nth + 1}` : "";
  const state = [colour.hex, colour.finish, colour.name, count, dish.grams, dish.lacking, dish.owned, dish.pinned, dish.banned, dish.inHand, key].join("|");
  if (button.dataset.state === state) return;
  button.dataset.state = state;
  button.setAttribute("aria-pressed", String(dish.inHand));
  button.classList.toggle("short", dish.lacking > 0);
  button.classList.toggle("empty", count === 0);
  const [canvas, name, amount, more, marks] = /** @type {[HTMLCanvasElement, HTMLElement, HTMLElement, HTMLElement, HTMLElement]} */ (
    /** @type {unknown} */ ([...button.children])
  );
  drawHeap(canvas, 60, colour, count);
  name.textContent = colour.name;
  const short = dish.lacking > 0 ? [make("br"), `${number(dish.lacking)} short`] : [];
  amount.replaceChildren(...(count === 0 ? [] : [number(count) + (dish.grams && !short.length ? ` · ${grams(dish.grams)}` : ""), ...short]));
  marks.replaceChildren(...(dish.pinned ? [drawing("pin")] : []), ...(dish.banned ? [drawing("ban")] : []));
  button.title = `${colour.name} (${colour.code}${colour.finish ? ", " + colour.finish : ""})${key ? `; key ${key}` : ""}`;
  more.textContent = [dish.owned ? "" : "not owned", dish.pinned ? "kept in" : "", dish.banned ? "left out" : ""]
    .filter(Boolean)
    .map((word) => `, ${word}`)
    .join("");
}

/** Draws a heap into a canvas, unless the same lies there already. @param {HTMLCanvasElement} canvas @param {number} size @param {Colour} colour
 * @param {number} count */
export function drawHeap(canvas, size, colour, count) {
  const fine = Math.round(size * Math.max(1, window.devicePixelRatio || 1));
  const word = heapWord(fine, colour, count);
  if (canvas.dataset.heap === word) return;
  canvas.dataset.heap = word;
  canvas.width = fine;
  canvas.height = fine;
  const on = canvas.getContext("2d");
  if (on) heap(on, canvas.width, colour, count);
}

/** What a press on a colour of the drawer does. @typedef {"take" | "own" | "pin" | "ban"} Deed */
/** @typedef {{owned: (code: string) => boolean, pinned: Set<string>, banned: Set<string>, used: Map<string, number>}} Ticks */

/** Lays the drawer's colours out in their compartments. @param {Stocked[]} colours @param {Ticks} ticks @param {string} sought
 * @param {(colour: Stocked) => void} pressed */
export function layDrawer(colours, ticks, sought, pressed) {
  const wanted = sought.trim().toLowerCase();
  const shown = colours.filter((colour) => !wanted || `${colour.name} ${colour.code} ${colour.finish ?? ""}`.toLowerCase().includes(wanted));
  const tray = part("compartments");
  const held = document.activeElement instanceof HTMLElement ? document.activeElement.dataset.code : undefined;
  tray.replaceChildren(...shown.map((colour) => compartment(colour, ticks, pressed)));
  part("drawer-none").hidden = shown.length > 0;
  if (held) /** @type {HTMLElement | null} */ (tray.querySelector(`[data-code="${CSS.escape(held)}"]`))?.focus({ preventScroll: true });
}

/** @param {Stocked} colour @param {Ticks} ticks @param {(colour: Stocked) => void} pressed */
function compartment(colour, ticks, pressed) {
  const owned = ticks.owned(colour.code);
  const marks = [
    colour.finish ?? "",
    ticks.pinned.has(colour.code) ? "kept in" : "",
    ticks.banned.has(colour.code) ? "left out" : "",
    ticks.used.get(colour.code) ? `${ticks.used.get(colour.code)} beads` : "",
  ].filter(Boolean);
  const has = colour.grams === null || colour.grams === undefined ? "" : grams(colour.grams);
  const button = make("button", {
    type: "button",
    class: "compartment",
    "data-code": colour.code,
    title: `${colour.name} (${colour.code}${colour.finish ? ", " + colour.finish : ""})`,
  });
  if (!owned) button.classList.add("unowned");
  if (ticks.banned.has(colour.code)) button.classList.add("banned");
  if (ticks.used.get(colour.code)) button.classList.add("used");
  const canvas = make("canvas", { "aria-hidden": "true" });
  drawHeap(canvas, 44, colour, owned ? 60 : 3);
  const flags = make("span", { class: "marks" });
  if (ticks.pinned.has(colour.code)) flags.append(drawing("pin"));
  if (ticks.banned.has(colour.code)) flags.append(drawing("ban"));
  button.append(
    canvas,
    make("span", { class: "compartment-name" }, colour.name),
    make("span", { class: "compartment-has" }, owned ? has : "not owned"),
    make("span", { class: "unseen" }, marks.map((word) => `, ${word}`).join("")),
    flags,
  );
  button.addEventListener("click", () => pressed(colour));
  return button;
}
