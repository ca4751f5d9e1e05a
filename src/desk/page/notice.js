// Messages that tell what went wrong, and go when it is mended.

import { part } from "./dom.js";

/** @param {import('./ask.js').Fault} it @param {string} [about] @param {boolean} [stays] until it is put away by hand */
export function fault(it, about = "", stays = false) {
  part("fault").dataset.stays = stays ? "yes" : "";
  const first = it.what.charAt(0).toUpperCase() + it.what.slice(1);
  part("fault-what").textContent = about && !it.what.includes(about) ? `${about}: ${it.what}.` : `${first}.`;
  part("fault-where").textContent = it.where ? `(${it.where})` : "";
  part("fault-hint").textContent = it.hint ? `${it.hint.charAt(0).toUpperCase()}${it.hint.slice(1)}.` : "";
  part("fault").hidden = false;
}

/** What went wrong is mended. */
export function forgive() {
  if (!part("fault").dataset.stays) part("fault").hidden = true;
}
