// The list of steps that led to the chart: each can be gone back to, and forward again.

import { stepTo } from "./commands.js";
import { create, element } from "./dom.js";
import { capitalised, counted } from "./format.js";
import { state } from "./state.js";

/** Most steps that are listed in each direction. */
const MOST = 150;

/** Connects the list. */
export function listenToSteps() {
  element("steps-panel").addEventListener("beforetoggle", (event) => {
    if (event instanceof ToggleEvent && event.newState === "open") renderSteps();
  });
  document.addEventListener("chartchange", () => {
    if (element("steps-panel").matches(":popover-open")) renderSteps();
  });
}

/** Lists the steps, the newest on top; those that were undone stand above the present one. */
function renderSteps() {
  const { history } = state;
  if (!history) return;
  const { done, undone } = history;
  const list = element("steps-list");
  const isFocused = list.contains(document.activeElement);
  const ahead = undone
    .slice(-MOST)
    .map((entry, at, shown) => step(entry.label, done.length + shown.length - at, "undone"));
  const now = done.length;
  const first = Math.max(0, now - MOST);
  const past = done
    .slice(first)
    .map((entry, at) => step(entry.label, first + at + 1, first + at + 1 === now ? "now" : ""))
    .reverse();
  const hidden = first + Math.max(0, undone.length - MOST);
  const start = first ? [] : [step("as it was opened", 0, now ? "" : "now")];
  list.replaceChildren(...ahead, ...past, ...start);
  element("steps-rest").textContent = hidden ? `and ${counted(hidden, "more step")}` : "";
  const current = list.querySelector("[aria-current]");
  if (!(current instanceof HTMLElement)) return;
  current.scrollIntoView({ block: "nearest" });
  if (isFocused) current.focus();
}

/**
 * @param {string} label
 * @param {number} count of the steps that are done then
 * @param {"" | "now" | "undone"} place
 */
function step(label, count, place) {
  const isNow = place === "now";
  const button = create(
    "button",
    { type: "button", class: place, "aria-current": isNow ? "step" : undefined },
    create("span", {}, capitalised(label)),
    ...(place === "undone" ? [create("span", { class: "visually-hidden" }, ", undone")] : []),
  );
  button.addEventListener("click", () => stepTo(count));
  return create("li", {}, button);
}
