// A photograph beside the palette's rows: a press takes the colour there, the mean of a small disc.

import { announce, element, get, onClick } from "./dom.js";
import { chooseFile } from "./files.js";
import { showError } from "./notices.js";
import { currentName, takeColour } from "./palette-editor.js";

/** The photo is drawn with at most so many pixels a side. */
const MOST_PIXELS = 1400;
/** Radius of the disc whose mean is taken, in CSS pixels. */
const RADIUS = 5;
/** How far an arrow key moves the ring, in CSS pixels. */
const STEP = 4;

/** Where the ring is, as shares of the photo's width and height. */
const ring = { x: 0.5, y: 0.5 };
/** The colour under the ring. */
let hex = "";

/** Connects the photo's parts. */
export function listenToPhotoPicker() {
  const photo = get("tray-photo", HTMLCanvasElement);
  onClick("tray-open", async () => {
    const file = await chooseFile("pick-tray");
    if (file) await showPhoto(file);
  });
  onClick("tray-close", () => {
    element("tray").hidden = true;
    element("tray-open").focus();
  });
  photo.addEventListener("pointermove", (event) => moveTo(event));
  photo.addEventListener("click", (event) => {
    moveTo(event);
    takeColour(hex, { isNew: false });
    renderHint();
  });
  photo.addEventListener("keydown", (event) => {
    const by = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
    const move = by[/** @type {keyof typeof by} */ (event.key)];
    const isTaken = event.key === "Enter" || event.key === " ";
    if (!move && !isTaken) return;
    event.preventDefault();
    if (isTaken) return takeColour(hex, { isNew: false });
    const { width, height } = photo.getBoundingClientRect();
    const far = event.shiftKey ? 4 * STEP : STEP;
    showRing(ring.x + (move[0] * far) / width, ring.y + (move[1] * far) / height);
    announce(hex);
  });
  onClick("tray-new", () => takeColour(hex, { isNew: true }));
  document.addEventListener("rowchange", renderHint);
}

/**
 * Shows a photo to pick colours off.
 * @param {File} file
 * @param {{isNeeded?: boolean}} [how] whether it is an error that the browser cannot show it
 */
export async function showPhoto(file, { isNeeded = true } = {}) {
  const picture = await createImageBitmap(file).catch(() => null);
  if (!picture) {
    if (!isNeeded) return;
    const what = `${file.name} cannot be shown by this browser`;
    return showError({ what, hint: "save it as JPEG or PNG" });
  }
  const scale = Math.min(1, MOST_PIXELS / Math.max(picture.width, picture.height));
  const photo = get("tray-photo", HTMLCanvasElement);
  photo.width = Math.max(1, Math.round(picture.width * scale));
  photo.height = Math.max(1, Math.round(picture.height * scale));
  const context = photo.getContext("2d", { willReadFrequently: true });
  if (!context) return;
  context.imageSmoothingQuality = "high";
  context.drawImage(picture, 0, 0, photo.width, photo.height);
  picture.close();
  element("tray").hidden = false;
  showRing(0.5, 0.5);
  renderHint();
}

/** @param {MouseEvent} event */
function moveTo({ clientX, clientY }) {
  const box = get("tray-photo", HTMLCanvasElement).getBoundingClientRect();
  showRing((clientX - box.left) / box.width, (clientY - box.top) / box.height);
}

/**
 * Puts the ring at a place of the photo and reads the colour there.
 * @param {number} x
 * @param {number} y
 */
function showRing(x, y) {
  ring.x = Math.min(1, Math.max(0, x));
  ring.y = Math.min(1, Math.max(0, y));
  const marker = element("tray-ring");
  marker.style.left = `${ring.x * 100}%`;
  marker.style.top = `${ring.y * 100}%`;
  hex = colourAt();
  element("tray-chip").style.background = `#${hex}`;
  element("tray-hex").textContent = hex;
}

/** The mean colour, in linear light, of a disc round the ring's centre. */
function colourAt() {
  const photo = get("tray-photo", HTMLCanvasElement);
  const context = photo.getContext("2d", { willReadFrequently: true });
  const shown = photo.getBoundingClientRect().width || photo.width;
  const radius = Math.max(1, Math.round((RADIUS * photo.width) / shown));
  const [left, top] = [ring.x * photo.width - radius, ring.y * photo.height - radius];
  const side = 2 * radius + 1;
  const pixels = context?.getImageData(Math.floor(left), Math.floor(top), side, side).data;
  if (!pixels) return "808080";
  const sums = [0, 0, 0, 0];
  for (let at = 0; at < pixels.length; at += 4) {
    const nth = at / 4;
    const off = Math.hypot((nth % side) - radius, Math.floor(nth / side) - radius);
    // Outside the disc, or outside the photo, where nothing is drawn.
    if (off > radius || pixels[at + 3] === 0) continue;
    for (let part = 0; part < 3; part++) sums[part] += toLight(pixels[at + part]);
    sums[3] += 1;
  }
  const parts = sums.slice(0, 3).map((sum) => fromLight(sum / Math.max(1, sums[3])));
  return parts
    .map((part) => part.toString(16).padStart(2, "0"))
    .join("")
    .toUpperCase();
}

/**
 * sRGB to linear light (IEC 61966-2-1).
 * @param {number} value 0 to 255
 */
function toLight(value) {
  const share = value / 255;
  return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
}

/** @param {number} light 0 to 1 */
function fromLight(light) {
  const share = light <= 0.0031308 ? 12.92 * light : 1.055 * light ** (1 / 2.4) - 0.055;
  return Math.round(255 * share);
}

function renderHint() {
  const name = currentName();
  element("tray-hint").textContent = name
    ? `Press on the photo: ${name} takes the colour there.`
    : "Press on the photo: a new colour is added.";
}
