// The drawer, pulled out: colours to take, to tick as owned, to keep in or leave out.

import * as charts from "./chart.js";
import { layDrawer } from "./dishes.js";
import { get, say } from "./dom.js";
import { chart, desk } from "./state.js";
import { isOwned, tickOwned } from "./colours.js";
import { layHand, layTheDishes } from "./lay.js";
import { keepLater, takeInHand } from "./deeds.js";
import { wishesChanged } from "./make.js";
import { layOffer, offerFor } from "./anew.js";
import { alikeLater } from "./alike.js";

/** @typedef {import("./chart.js").Colour} Colour */

/** @param {Colour} colour @param {"own" | "pin" | "ban"} deed */
export function tick(colour, deed) {
  const { code, name } = colour;
  if (deed === "own") {
    const owned = tickOwned(code);
    // What is not there cannot be kept in.
    const released = !owned && desk.pinned.delete(code);
    say(`${name}: ${owned ? "owned" : released ? "not owned, so no longer kept in" : "not owned"}`);
  } else {
    const [set, other] = deed === "pin" ? [desk.pinned, desk.banned] : [desk.banned, desk.pinned];
    if (set.has(code)) set.delete(code);
    else set.add(code);
    other.delete(code);
    say(`${name}: ${set.has(code) ? (deed === "pin" ? "kept in" : "left out") : "as the picture wants"}`);
  }
  layTheDishes();
  layHand();
  layTheDrawer();
  if (desk.picture) wishesChanged();
  keepLater();
}

export function layTheDrawer() {
  if (!get("drawer", HTMLDialogElement).open || !desk.palette) return;
  layOffer();
  alikeLater();
  const counts = charts.counts(chart());
  const { colours } = desk.palette;
  const used = new Map(chart().colours.map((colour, nth) => [colour.code, colours.some((other) => charts.isSame(other, colour)) ? counts[nth] : 0]));
  layDrawer(colours, { owned: isOwned, pinned: desk.pinned, banned: desk.banned, used }, get("drawer-seek", HTMLInputElement).value, (colour) => {
    const deed = /** @type {HTMLInputElement} */ (document.querySelector("input[name=deed]:checked")).value;
    const other = charts.namesake(chart(), colour);
    if (deed === "take" && other) {
      offerFor(colour, other);
    } else if (deed === "take") {
      takeInHand(colour);
      shut("drawer");
    } else {
      tick(colour, /** @type {"own" | "pin" | "ban"} */ (deed));
    }
  });
}

/** @param {string} id */
export function shut(id) {
  get(id, HTMLDialogElement).close();
}

/** @param {string} id */
export function unfold(id) {
  const dialog = get(id, HTMLDialogElement);
  if (!dialog.open) dialog.showModal();
}

export function openDrawer() {
  unfold("drawer");
  layTheDrawer();
}
