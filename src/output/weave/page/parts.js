// Elements, beads and icons.

/** @import { Part } from "./work.js" */

/** @typedef {Record<string, string | number | boolean | ((event: Event) => void)>} Attributes */

/**
 * An element with its attributes, its event handlers and its children; text is always set as text.
 * @template {keyof HTMLElementTagNameMap} Tag
 * @param {Tag} tag
 * @param {Attributes} [attributes]
 * @param {...(Node | string)} children
 * @returns {HTMLElementTagNameMap[Tag]}
 */
export function create(tag, attributes = {}, ...children) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (typeof value === "function") element.addEventListener(name, value);
    else if (value === true) element.setAttribute(name, "");
    else if (value !== false) element.setAttribute(name, String(value));
  }
  element.append(...children);
  return element;
}

/**
 * A bead seen from the side.
 * @param {string} hex
 * @param {string} [state] a class
 */
export function beadElement(hex, state = "") {
  const element = create("i", { class: `bead ${state}`.trim() });
  element.style.backgroundColor = `#${hex}`;
  return element;
}

/** The lines of each icon, in a square of 24 units. */
const PATHS = {
  // Out, around the edge and back.
  ordinary: ["M4 7h10a5 5 0 0 1 0 10H6", "M10 13l-4 4 4 4"],
  // Two loops.
  eight: [
    "M12 12c-2-3-3.6-5-6-5a5 5 0 0 0 0 10c2.4 0 4-2 6-5s3.6-5 6-5a5 5 0 0 1 0 10c-2.4 0-4-2-6-5",
  ],
  // Under an arch of thread and back.
  bridge: ["M5 5c4 4 4 10 0 14", "M20 8H9a4 4 0 0 0 0 8h10", "M15.500 12.500L19 16l-3.500 3.500"],
  // Through the edge bead, round, and through it once more.
  edge: ["M20 16H9a4 4 0 0 1 0-8h6a4 4 0 0 1 0 8", "M12 8h8", "M17 5l3 3-3 3"],
  end: ["M4 12h12", "M18 6v12"],
  left: ["M20 12H5", "M11 6l-6 6 6 6"],
  right: ["M4 12h15", "M13 6l6 6-6 6"],
  undo: ["M5 9h9a5 5 0 0 1 0 10H8", "M9 5L5 9l4 4"],
  beads: ["M3 12h3", "M18 12h3", "M7 8h3.500v8H7z", "M13.500 8H17v8h-3.500z"],
  more: ["M5 12h.01", "M12 12h.01", "M19 12h.01"],
  done: ["M5 13l4.500 4.500L19 7"],
  close: ["M6 6l12 12", "M18 6L6 18"],
};

/** @typedef {keyof typeof PATHS} Icon */

/**
 * @param {Icon} name
 * @returns {SVGSVGElement}
 */
export function icon(name) {
  const space = "http://www.w3.org/2000/svg";
  const svg = document.createElementNS(space, "svg");
  svg.setAttribute("viewBox", "0 0 24 24");
  svg.setAttribute("class", "icon");
  svg.setAttribute("aria-hidden", "true");
  for (const d of PATHS[name]) {
    const path = document.createElementNS(space, "path");
    path.setAttribute("d", d);
    svg.append(path);
  }
  return svg;
}

/**
 * @param {Part} part
 * @param {string} type a class
 */
export function partElement(part, type) {
  const paragraphs = part.paragraphs.map((words) => create("p", {}, words));
  return create("div", { class: type }, create("h3", {}, part.heading), ...paragraphs);
}

/** Whether the user wants motion. */
export function wantsMotion() {
  return !window.matchMedia("(prefers-reduced-motion: reduce)").matches;
}
