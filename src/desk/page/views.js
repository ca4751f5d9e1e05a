// The parts of the page that draw themselves: the band, the ring, the crop frame, and the tools
// that work on the band. They are connected to the commands when the page opens.

import { BandCanvas } from "./canvas.js";
import { conflictingColour } from "./chart.js";
import { CropFrame } from "./crop.js";
import { announce, element, get } from "./dom.js";
import { showError } from "./notices.js";
import { RingView } from "./ring.js";
import { currentChart, currentColour } from "./state.js";
import { Tools } from "./tools.js";

/** @typedef {import("./chart.js").Colour} Colour @typedef {import("./edits.js").Edit} Edit */
/**
 * @typedef {object} Handlers
 * @property {(edit: Edit | null, label: string) => void} edit
 * @property {(colour: Colour) => void} useColour
 * @property {() => void} toolsChanged
 * @property {(bead: number) => void} hover
 * @property {() => void} optionsChanged
 */

/** What the views call; set when the page opens. @type {Handlers} */
export const handlers = {
  edit: () => undefined,
  useColour: () => undefined,
  toolsChanged: () => undefined,
  hover: () => undefined,
  optionsChanged: () => undefined,
};

/**
 * Connects the views to the commands, which use the views themselves.
 * @param {Handlers} given
 */
export function connectViews(given) {
  Object.assign(handlers, given);
}

export const ring = new RingView(get("ring", HTMLCanvasElement));
export const cropFrame = new CropFrame(() => handlers.optionsChanged());
export const canvas = new BandCanvas(
  {
    viewport: element("viewport"),
    scrollArea: element("scroll-area"),
    canvas: get("band", HTMLCanvasElement),
  },
  {
    press: (where, event) => tools.press(where, event),
    drag: (places) => tools.drag(places),
    release: () => tools.release(),
    cancel: () => tools.cancel(),
    hover: (bead) => {
      tools.hover(bead);
      handlers.hover(bead);
    },
  },
);
export const tools = new Tools(
  {
    chart: currentChart,
    colour: currentColour,
    useColour: (colour) => handlers.useColour(colour),
    edit: (edit, label) => handlers.edit(edit, label),
    announce,
    changed: () => handlers.toolsChanged(),
    canUse,
  },
  canvas,
);

/**
 * Whether the chart can take colours; an error is shown for a code that it has for another colour.
 * @param {Colour[]} colours
 */
function canUse(colours) {
  for (const colour of colours) {
    const other = conflictingColour(currentChart(), colour);
    if (!other) continue;
    const { code, name } = colour;
    const what = `the code ${code} stands for ${other.name} in the band, not for ${name}`;
    showError({ what, hint: "open the palette and change the band to it first" });
    return false;
  }
  return true;
}
