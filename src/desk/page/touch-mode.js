// On a phone one finger scrolls; it draws once the user has chosen so.

import { announce, element, onClick } from "./dom.js";

/** A small screen that is touched. */
const PHONE = matchMedia("(max-width: 38.75em) and (any-pointer: coarse)");

/** Whether one finger draws on a phone. */
let isDrawing = false;

/** Connects the choice, which is there on a phone alone. */
export function listenToTouchMode() {
  onClick("touch-scroll", () => choose(false));
  onClick("touch-draw", () => choose(true));
  PHONE.addEventListener("change", render);
  render();
}

/** @param {boolean} draws */
function choose(draws) {
  isDrawing = draws;
  render();
  announce(draws ? "One finger draws; two fingers scroll" : "One finger scrolls");
}

function render() {
  element("touch-mode").hidden = !PHONE.matches;
  element("viewport").dataset.finger = PHONE.matches && !isDrawing ? "scroll" : "draw";
  element("touch-scroll").setAttribute("aria-pressed", String(!isDrawing));
  element("touch-draw").setAttribute("aria-pressed", String(isDrawing));
}
