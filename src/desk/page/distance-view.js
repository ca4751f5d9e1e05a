// The band as it looks from a distance: as large as it looks there, where the screen is 300 mm from
// the eyes, and as fine as the screen.

import { cancel, request } from "./api.js";
import { element, get } from "./dom.js";
import { withErrors } from "./requests.js";
import { chartText } from "./state.js";
import { INCH, layOutPreview, screenScale } from "./true-size.js";

/** The resolution of a picture in dots per inch. */
const DENSITY = { least: 30, most: 1200 };

/** The page's background colour, as six digits. */
function backgroundColour() {
  const { backgroundColor } = getComputedStyle(document.body);
  const parts = /(\d+)\D+(\d+)\D+(\d+)/.exec(backgroundColor)?.slice(1) ?? [];
  return parts.map((part) => Number(part).toString(16).padStart(2, "0")).join("");
}

/** Shows the band from the selected distance, or at true size. */
export async function updateDistanceView() {
  const mm = get("viewing-distance", HTMLSelectElement).value;
  if (!mm) return showTrueSize();
  const { pixels } = screenScale();
  const dots = Math.round(pixels * INCH * (window.devicePixelRatio || 1));
  const density = Math.max(DENSITY.least, Math.min(DENSITY.most, dots));
  const ground = backgroundColour();
  const body = { chart: chartText(), mm: Number(mm), ground, density, bare: true };
  const answer = await withErrors(() => request("seen", { body, channel: "seen" }));
  if (!answer) return;
  const url = URL.createObjectURL(await answer.blob());
  // Another distance may have been selected meanwhile.
  const isWanted = () => get("viewing-distance", HTMLSelectElement).value === mm;
  if (!isWanted()) return URL.revokeObjectURL(url);
  const image = get("distance-image", HTMLImageElement);
  URL.revokeObjectURL(image.src);
  image.src = url;
  await image.decode().catch(() => undefined);
  if (!isWanted() || image.src !== url) return;
  image.style.width = `${(image.naturalWidth * INCH * pixels) / density}px`;
  image.alt = "The band as it looks from this distance";
  image.hidden = false;
  element("true-band").hidden = true;
  layOutPreview(image);
}

function showTrueSize() {
  cancel("seen");
  element("distance-image").hidden = true;
  element("true-band").hidden = false;
  layOutPreview(element("true-band"));
}
