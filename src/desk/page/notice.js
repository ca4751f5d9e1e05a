// Messages that tell what went wrong, and go when it is mended.

import { part } from "./dom.js";
import { plainly } from "./plainly.js";

/** @param {import('./ask.js').Fault} it @param {string} [about] @param {boolean} [stays] until it is put away by hand @param {string} [of] what went wrong */
export function fault(it, about = "", stays = false, of = "") {
  part("fault").dataset.of = of;
  part("fault").dataset.stays = stays ? "yes" : "";
  const what = plainly(it.what);
  const first = what.charAt(0).toUpperCase() + what.slice(1);
  part("fault-what").textContent = about && !it.what.includes(about) ? `${about}: ${what}.` : `${first}.`;
  part("fault-where").textContent = it.where ? `(${plainly(it.where)})` : "";
  part("fault-hint").textContent = it.hint ? capital(`${plainly(it.hint)}.`) : "";
  part("fault").hidden = false;
}

/** @param {string} words */
function capital(words) {
  return words.charAt(0).toUpperCase() + words.slice(1);
}

/** What went wrong is mended. @param {string} [of] only where this went wrong */
export function forgive(of) {
  if (!part("fault").dataset.stays && (of === undefined || part("fault").dataset.of === of)) part("fault").hidden = true;
}
