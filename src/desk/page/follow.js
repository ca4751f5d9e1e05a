// Weave mode: the follow-along page in place of the mat. It keeps its own place in the rows.

import { get, part } from "./dom.js";
import * as asking from "./ask.js";

/** Shows the page for a chart. @param {string} text the chart's file @param {string} name what it is called */
export async function open(text, name) {
  const answer = await asking.raw("follow", { body: { chart: text, name } });
  const frame = get("weave-page", HTMLIFrameElement);
  if ((answer.headers.get("Content-Type") ?? "").includes("json")) {
    frame.src = (await answer.json()).at;
  } else {
    frame.src = URL.createObjectURL(new Blob([await answer.text()], { type: "text/html" }));
  }
  part("weaving").hidden = false;
  for (const element of document.querySelectorAll("main, header.rail")) element.toggleAttribute("inert", true);
  part("weave-close").focus();
}

export function close() {
  part("weaving").hidden = true;
  const frame = get("weave-page", HTMLIFrameElement);
  if (frame.src.startsWith("blob:")) URL.revokeObjectURL(frame.src);
  frame.removeAttribute("src");
  for (const element of document.querySelectorAll("main, header.rail")) element.toggleAttribute("inert", false);
  part("weave-open").focus();
}
