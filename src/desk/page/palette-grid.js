// The colours of the palette as a grid of buttons.

import { drawPile } from "./bead-drawing.js";
import { create, element } from "./dom.js";
import { counted, grams } from "./format.js";
import { icon } from "./icons.js";
import { describe } from "./swatches.js";

/** @typedef {import("./state.js").PaletteColour} PaletteColour */
/**
 * @typedef {object} Status what is known of the colours, by their codes
 * @property {(code: string) => boolean} isInStock
 * @property {Set<string>} kept
 * @property {Set<string>} excluded
 * @property {Map<string, number>} used beads of the band
 */

/** Width of a pile in CSS pixels, and how many beads it shows. */
const PILE = 44;
const SHOWN = { inStock: 60, missing: 3 };

/**
 * Shows the colours whose name, code or finish contains the search.
 * @param {PaletteColour[]} colours
 * @param {{status: Status, search: string, onClick: (colour: PaletteColour) => void}} options
 */
export function renderPaletteGrid(colours, { status, search, onClick }) {
  const wanted = search.trim().toLowerCase();
  const shown = colours.filter(({ name, code, finish }) =>
    `${name} ${code} ${finish ?? ""}`.toLowerCase().includes(wanted),
  );
  const grid = element("palette-colours");
  const { activeElement } = document;
  const focused = activeElement instanceof HTMLElement ? activeElement.dataset.code : undefined;
  grid.replaceChildren(...shown.map((colour) => colourButton(colour, status, onClick)));
  element("palette-none").hidden = shown.length > 0;
  if (!focused) return;
  const button = grid.querySelector(`[data-code="${CSS.escape(focused)}"]`);
  if (button instanceof HTMLElement) button.focus({ preventScroll: true });
}

/**
 * @param {PaletteColour} colour
 * @param {Status} status
 * @param {(colour: PaletteColour) => void} onClick
 */
function colourButton(colour, status, onClick) {
  const { code } = colour;
  const isInStock = status.isInStock(code);
  const [isKept, isExcluded] = [status.kept.has(code), status.excluded.has(code)];
  const used = status.used.get(code) ?? 0;
  const button = create("button", {
    type: "button",
    class: "palette-colour",
    "data-code": code,
    title: describe(colour),
  });
  button.classList.toggle("missing", !isInStock);
  button.classList.toggle("excluded", isExcluded);
  button.classList.toggle("used", used > 0);
  const pile = create("canvas", { "aria-hidden": "true" });
  drawPile(pile, { size: PILE, colour, count: isInStock ? SHOWN.inStock : SHOWN.missing });
  const stock = typeof colour.grams === "number" ? grams(colour.grams) : "";
  const states = [
    colour.finish ?? "",
    isKept ? "kept in" : "",
    isExcluded ? "left out" : "",
    used ? counted(used, "bead") : "",
  ].filter(Boolean);
  const icons = create("span", { class: "swatch-icons" });
  if (isKept) icons.append(icon("marker"));
  if (isExcluded) icons.append(icon("exclude"));
  button.append(
    pile,
    create("span", { class: "palette-name" }, colour.name),
    create("span", { class: "palette-stock" }, isInStock ? stock : "not in stock"),
    create("span", { class: "visually-hidden" }, states.map((word) => `, ${word}`).join("")),
    icons,
  );
  button.addEventListener("click", () => onClick(colour));
  return button;
}
