// Line icons, drawn as SVG.

/** The outline of each icon, in a square of 20 units. */
const PATHS = {
  bead:
    "M3 17l6-6M9 7h7a1.5 1.5 0 011.5 1.5v3A1.5 1.5 0 0116 13H9a1.5 1.5 0 01-1.5-1.5" +
    "v-3A1.5 1.5 0 019 7zM12.5 7v6",
  line: "M3 16C7 16 6 4 10 4s3 12 7 12M2.5 16h.1M17.5 16h.1",
  fill:
    "M17.5 2.5L10 8.5M10 8.5c-2.4-1.6-5.6-.6-6.3 1.6s1.5 4.2 3.9 3.8 4-3.4 2.4-5.4zM4" +
    " 17.5h.1M8 18h.1M12 16.5h.1",
  pick:
    "M7 12.5h6a1.2 1.2 0 011.2 1.2v2.6a1.2 1.2 0 01-1.2 1.2H7a1.2 1.2 0 01-1.2-1.2" +
    "v-2.6A1.2 1.2 0 017 12.5zM10 9.5V2.5M6.5 6L10 2.5 13.5 6",
  motif:
    "M3.5 3.5h4.3v5H3.5zM3.5 8.5h4.3v5H3.5zM7.8 6h4.4v5H7.8zM7.8 11h4.4v5H7.8zM12.2" +
    " 3.5h4.3v5h-4.3zM12.2 8.5h4.3v5h-4.3z",
  "mirror-columns": "M10 2v3M10 8.5v3M10 15v3M7 6L3 10l4 4zM13 6l4 4-4 4z",
  "mirror-rows": "M2 10h3M8.5 10h3M15 10h3M6 7l4-4 4 4zM6 13l4 4 4-4z",
  undo: "M7 4L3 8l4 4M3 8h8a5 5 0 010 9H8",
  redo: "M13 4l4 4-4 4M17 8H9a5 5 0 000 9h3",
  marker: "M10 12v6M6 3h8l-1.5 4.5L15 12H5l2.5-4.5z",
  exclude: "M10 3a7 7 0 100 14 7 7 0 000-14zM5 5l10 10",
  theme: "M7 3h6l3 8H4zM10 11v6M6.5 17h7",
  plus: "M10 4v12M4 10h12",
  minus: "M4 10h12",
  fit: "M4 8V4h4M16 8V4h-4M4 12v4h4M16 12v4h-4",
  up: "M10 16V5M5 10l5-5 5 5",
  down: "M10 4v11M5 10l5 5 5-5",
  left: "M16 10H5M10 5l-5 5 5 5",
  right: "M4 10h11M10 5l5 5-5 5",
  rotate: "M15.5 6.5A6.5 6.5 0 103.7 11.5M15.5 2.5v4h-4",
  rename: "M4 16l1-4L13.5 3.5l3 3L8 15zM11.5 5.5l3 3",
  steps: "M4 5h12M4 10h9M4 15h6",
  copy: "M7.5 7.5h9v9h-9zM12.5 7.5v-4h-9v9h4",
  remove: "M4 6h12M8 6V4h4v2M5.5 6l.8 10.5h7.4L14.5 6",
  grip: "M7.5 5h.1M12.5 5h.1M7.5 10h.1M12.5 10h.1M7.5 15h.1M12.5 15h.1",
  close: "M5 5l10 10M15 5L5 15",
};

/** @typedef {keyof typeof PATHS} Icon */

/**
 * An icon, hidden from screen readers: the words beside it say the same.
 * @param {Icon} name
 */
export function icon(name) {
  const space = "http://www.w3.org/2000/svg";
  const svg = document.createElementNS(space, "svg");
  svg.setAttribute("viewBox", "0 0 20 20");
  svg.setAttribute("aria-hidden", "true");
  svg.classList.add("icon");
  const path = document.createElementNS(space, "path");
  path.setAttribute("d", PATHS[name]);
  svg.append(path);
  return svg;
}

/**
 * Puts an icon into each element that asks for one with `data-icon`.
 * @param {ParentNode} root
 */
export function insertIcons(root) {
  for (const each of root.querySelectorAll("[data-icon]")) {
    each.prepend(icon(/** @type {Icon} */ (each.getAttribute("data-icon"))));
  }
}
