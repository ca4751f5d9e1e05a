// The follow-along page in place of the design. It keeps its own place in the rows.

import { requestJson } from "./api.js";
import { element, get } from "./dom.js";
import { followOptions } from "./export.js";
import { withProgress } from "./progress.js";
import { withErrors } from "./requests.js";
import { chartText, fileName } from "./state.js";

/** Shows the follow-along page of the chart. */
export async function openFollow() {
  const options = followOptions();
  if (!options) return;
  const body = { chart: chartText(), name: fileName(), ...options };
  const ask = () => withErrors(() => requestJson("follow", { body }));
  const answer = await withProgress("Writing the rows", ask);
  if (!answer) return;
  get("follow-frame", HTMLIFrameElement).src = answer.at;
  setFollowing(true);
  element("follow-close").focus();
}

export function closeFollow() {
  setFollowing(false);
  get("follow-frame", HTMLIFrameElement).removeAttribute("src");
  element("weave-open").focus();
}

/** @param {boolean} isFollowing */
function setFollowing(isFollowing) {
  element("follow").hidden = !isFollowing;
  for (const each of document.querySelectorAll("main, header.toolbar")) {
    each.toggleAttribute("inert", isFollowing);
  }
}
