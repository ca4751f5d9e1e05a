// The keys: one table that both the band listens by and the help sheet is made of.

import { make, part } from "./dom.js";

/** @typedef {{keys: string[], words: string, does: string, anywhere?: boolean}} Key `keys` as the event's key with its modifiers before it */

/** @type {Key[]} */
export const KEYS = [
  { keys: ["ArrowLeft", "ArrowRight", "ArrowUp", "ArrowDown"], words: "Arrows", does: "go from bead to bead" },
  { keys: ["Ctrl+ArrowLeft", "Ctrl+ArrowRight", "Ctrl+ArrowUp", "Ctrl+ArrowDown"], words: "Ctrl and arrows", does: "go ten beads" },
  { keys: [" ", "Enter"], words: "Space, Enter", does: "set a bead; begin and end a line or a motif; pour; lay a copy" },
  { keys: ["1", "2", "3", "4", "5", "6", "7", "8", "9"], words: "1 to 9", does: "take a dish in hand" },
  { keys: [",", "."], words: ", and .", does: "the dish before, the next dish" },
  { keys: ["b"], words: "B", does: "set beads" },
  { keys: ["l"], words: "L", does: "lines" },
  { keys: ["p"], words: "P", does: "pour into a patch" },
  { keys: ["t"], words: "T", does: "take the colour of a bead" },
  { keys: ["o"], words: "O", does: "choose a motif" },
  { keys: ["c"], words: "C", does: "take a copy of the motif to lay down" },
  { keys: ["f"], words: "F", does: "turn the motif over" },
  { keys: ["Alt+ArrowLeft", "Alt+ArrowRight", "Alt+ArrowUp", "Alt+ArrowDown"], words: "Alt and arrows", does: "move the motif" },
  { keys: ["Delete", "Backspace"], words: "Delete", does: "the ground takes the motif\u2019s place" },
  { keys: ["Escape"], words: "Escape", does: "let go of motif and line" },
  { keys: ["x"], words: "X", does: "both sides alike" },
  { keys: ["Shift+x"], words: "Shift X", does: "both ends alike" },
  {
    keys: ["Shift+Alt+ArrowLeft", "Shift+Alt+ArrowRight", "Shift+Alt+ArrowUp", "Shift+Alt+ArrowDown"],
    words: "Shift Alt arrows",
    does: "shift the whole pattern",
  },
  { keys: ["r"], words: "R", does: "add two rows here" },
  { keys: ["Shift+r"], words: "Shift R", does: "take out two rows here" },
  { keys: ["k"], words: "K", does: "add two columns here" },
  { keys: ["Shift+k"], words: "Shift K", does: "take out two columns here" },
  { keys: ["+", "=", "Shift++"], words: "+", does: "nearer" },
  { keys: ["-"], words: "-", does: "further" },
  { keys: ["0"], words: "0", does: "the whole band" },
  { keys: ["d"], words: "D", does: "open the drawer" },
  { keys: ["?", "Shift+?"], words: "?", does: "this sheet" },
  { keys: ["Ctrl+z"], words: "Ctrl Z", does: "undo", anywhere: true },
  { keys: ["Ctrl+Shift+z", "Ctrl+y"], words: "Ctrl Shift Z", does: "redo", anywhere: true },
  { keys: ["Ctrl+s"], words: "Ctrl S", does: "save the chart", anywhere: true },
  { keys: ["Ctrl+o"], words: "Ctrl O", does: "open a chart", anywhere: true },
];

/** A key press as the table writes it. @param {KeyboardEvent} event */
export function pressed(event) {
  const key = event.key.length === 1 ? event.key.toLowerCase() : event.key;
  const held = [event.ctrlKey || event.metaKey ? "Ctrl+" : "", event.shiftKey ? "Shift+" : "", event.altKey ? "Alt+" : ""].join("");
  return held + key;
}

/** Fills the help sheet. */
export function layKeys() {
  part("keys-list").replaceChildren(...KEYS.flatMap(({ words, does }) => [make("dt", {}, make("kbd", {}, words)), make("dd", {}, does)]));
}
