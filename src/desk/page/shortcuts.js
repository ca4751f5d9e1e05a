// Keyboard shortcuts: the list in the help dialog, and how a key press is written.

import { create, element } from "./dom.js";

/** What the keys are called, and what they do. @type {[keys: string, action: string][]} */
const SHORTCUTS = [
  ["Arrows", "go from bead to bead"],
  ["Ctrl arrows", "go ten beads"],
  ["Space, Enter", "set a bead; start and end a line or a motif; fill; place a copy"],
  ["1 to 9", "use a colour"],
  [", and .", "previous and next colour"],
  ["B", "set beads"],
  ["L", "draw a line"],
  ["P", "fill an area"],
  ["T", "pick up a colour"],
  ["O", "lift a motif"],
  ["C", "place copies of the motif"],
  ["F", "flip the motif"],
  ["Alt arrows", "move the motif"],
  ["Delete", "fill the motif with the ground"],
  ["Escape", "deselect, or cancel a line"],
  ["X", "mirror left to right"],
  ["Shift X", "mirror end to end"],
  ["Shift Alt arrows", "shift the whole pattern"],
  ["R", "add two rows here"],
  ["Shift R", "remove two rows here"],
  ["K", "add two columns here"],
  ["Shift K", "remove two columns here"],
  ["+", "zoom in"],
  ["-", "zoom out"],
  ["0", "show the whole band"],
  ["D", "open the palette"],
  ["?", "show this list"],
  ["Ctrl Z", "undo"],
  ["Ctrl Shift Z", "redo"],
  ["Ctrl S", "save the chart"],
  ["Ctrl O", "open a chart"],
];

/**
 * A key press with its modifiers, such as `Ctrl+Shift+z`.
 * @param {KeyboardEvent} event
 */
export function keyPressed(event) {
  const key = event.key.length === 1 ? event.key.toLowerCase() : event.key;
  const control = event.ctrlKey || event.metaKey ? "Ctrl+" : "";
  const shift = event.shiftKey ? "Shift+" : "";
  const alt = event.altKey ? "Alt+" : "";
  return control + shift + alt + key;
}

/** Fills the list in the help dialog. */
export function renderShortcuts() {
  const items = SHORTCUTS.flatMap(([keys, action]) => [
    create("dt", {}, create("kbd", {}, keys)),
    create("dd", {}, action),
  ]);
  element("shortcuts-list").replaceChildren(...items);
}
