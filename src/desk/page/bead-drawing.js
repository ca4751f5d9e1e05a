// How a bead looks: a short cylinder lying across the band, lit from above, by its finish.

/** @typedef {import("./chart.js").Colour} Colour */
/** @typedef {CanvasRenderingContext2D | OffscreenCanvasRenderingContext2D} Context */
/** @typedef {{x: number, y: number, width: number, height: number}} Rectangle in whole pixels */

/**
 * Shares of white (positive) or black (negative) down a bead from its upper edge, by finish:
 * modelled by eye, no source.
 * @type {Record<string, [position: number, share: number][]>}
 */
const LIGHT = {
  opaque: [
    [0, -0.04],
    [0.16, 0.16],
    [0.27, 0.5],
    [0.36, 0.14],
    [0.6, 0],
    [0.88, -0.2],
    [1, -0.34],
  ],
  matte: [
    [0, -0.02],
    [0.3, 0.1],
    [0.6, 0],
    [1, -0.24],
  ],
  transparent: [
    [0, -0.2],
    [0.2, 0.06],
    [0.3, 0.58],
    [0.4, 0.04],
    [0.7, 0.2],
    [0.9, 0.1],
    [1, -0.28],
  ],
  metallic: [
    [0, -0.34],
    [0.18, 0.1],
    [0.29, 0.72],
    [0.38, 0.22],
    [0.55, -0.22],
    [0.8, 0.05],
    [1, -0.48],
  ],
  lustre: [
    [0, 0.02],
    [0.18, 0.26],
    [0.32, 0.58],
    [0.5, 0.14],
    [0.72, 0.06],
    [0.88, 0.16],
    [1, -0.22],
  ],
};

/** The loose beads of a pile are painted so many times finer, since they are rotated. */
const OVERSAMPLING = 2;

/**
 * A colour mixed with a share of white or black.
 * @param {string} hex six digits
 * @param {number} share -1 (black) to 1 (white)
 */
export function tinted(hex, share) {
  const to = share > 0 ? 255 : 0;
  const parts = channels(hex).map((part) => Math.round(part + (to - part) * Math.abs(share)));
  return `rgb(${parts.join(",")})`;
}

/**
 * Red, green and blue of a colour, 0 to 255.
 * @param {string} hex six digits
 */
export function channels(hex) {
  return [0, 2, 4].map((at) => parseInt(hex.slice(at, at + 2), 16));
}

/**
 * The relative luminance of a colour, 0 to 1 (WCAG 2.2, "relative luminance").
 * @param {string} hex
 */
export function luminance(hex) {
  const [red, green, blue] = channels(hex).map((channel) => {
    const part = channel / 255;
    return part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
}

/**
 * Draws a bead.
 * @param {Context} context
 * @param {Rectangle} bounds
 * @param {Colour} colour
 */
export function drawBead(context, bounds, colour) {
  if (bounds.height < 6 || bounds.width < 6) drawSmallBead(context, bounds, colour);
  else drawLitBead(context, bounds, colour);
}

/**
 * A bead of few pixels: a flat colour with two dark edges.
 * @param {Context} context
 * @param {Rectangle} bounds
 * @param {Colour} colour
 */
function drawSmallBead(context, { x, y, width, height }, colour) {
  context.fillStyle = `#${colour.hex}`;
  context.fillRect(x, y, width, height);
  if (height < 4) return;
  context.fillStyle = "rgba(0,0,0,0.22)";
  context.fillRect(x, y + height - 1, width, 1);
  context.fillRect(x + width - 1, y, 1, height);
}

/**
 * @param {Context} context
 * @param {Rectangle} bounds
 * @param {Colour} colour
 */
function drawLitBead(context, { x, y, width, height }, colour) {
  const light = LIGHT[colour.finish ?? "opaque"] ?? LIGHT.opaque;
  const shade = context.createLinearGradient(0, y, 0, y + height);
  for (const [at, share] of light) shade.addColorStop(at, tinted(colour.hex, share));
  const gap = width > 16 ? 0.75 : 0.5;
  const corner = Math.min(width, height) * 0.2;
  context.beginPath();
  context.roundRect(x + gap, y + gap, width - 2 * gap, height - 2 * gap, corner);
  context.fillStyle = shade;
  context.fill();
  // The cut ends face away from the light.
  const ends = context.createLinearGradient(x, 0, x + width, 0);
  ends.addColorStop(0, "rgba(0,0,0,0.30)");
  ends.addColorStop(0.12, "rgba(0,0,0,0)");
  ends.addColorStop(0.88, "rgba(0,0,0,0)");
  ends.addColorStop(1, "rgba(0,0,0,0.30)");
  context.fillStyle = ends;
  context.fill();
  context.lineWidth = gap;
  context.strokeStyle = "rgba(20,16,10,0.38)";
  context.stroke();
}

/**
 * A picture of one bead, to be copied many times.
 * @param {number} width
 * @param {number} height
 * @param {Colour} colour
 */
export function beadSprite(width, height, colour) {
  const sprite = new OffscreenCanvas(width, height);
  drawBead(contextOf(sprite), { x: 0, y: 0, width, height }, colour);
  return sprite;
}

/** @param {OffscreenCanvas} canvas */
function contextOf(canvas) {
  return /** @type {OffscreenCanvasRenderingContext2D} */ (canvas.getContext("2d"));
}

/**
 * How many beads a pile shows: the more there are, the more it shows.
 * @param {number} count
 */
function shownBeads(count) {
  return Math.round(Math.min(46, 7 + 7 * Math.log2(1 + count)));
}

/**
 * One loose bead with a soft shadow, upright.
 * @param {number} size of the pile
 * @param {Colour} colour
 */
function looseBead(size, colour) {
  const fine = size * OVERSAMPLING;
  const [width, height, room] = [fine * 0.15, fine * 0.175, fine * 0.05];
  const canvas = new OffscreenCanvas(Math.ceil(width + 2 * room), Math.ceil(height + 2 * room));
  const context = contextOf(canvas);
  context.shadowColor = "rgba(0,0,0,0.35)";
  context.shadowBlur = fine * 0.03;
  context.shadowOffsetY = fine * 0.012;
  const [x, y] = [(canvas.width - width) / 2, (canvas.height - height) / 2];
  drawBead(context, { x, y, width, height }, colour);
  return canvas;
}

/**
 * Draws a round pile of loose beads into a canvas, unless the same pile is there already.
 * @param {HTMLCanvasElement} canvas
 * @param {{size: number, colour: Colour, count: number}} pile the size in CSS pixels
 */
export function drawPile(canvas, { size, colour, count }) {
  const pixels = Math.round(size * Math.max(1, window.devicePixelRatio || 1));
  const key = `${pixels} ${colour.hex} ${colour.finish ?? ""} ${shownBeads(count)}`;
  if (canvas.dataset.pile === key) return;
  canvas.dataset.pile = key;
  canvas.width = pixels;
  canvas.height = pixels;
  const context = canvas.getContext("2d");
  if (context) drawBeads(context, { size: pixels, colour, count });
}

/**
 * @param {CanvasRenderingContext2D} context
 * @param {{size: number, colour: Colour, count: number}} pile the size in the canvas's pixels
 */
function drawBeads(context, { size, colour, count }) {
  const middle = size / 2;
  const all = shownBeads(count);
  const bead = looseBead(size, colour);
  const [width, height] = [bead.width / OVERSAMPLING, bead.height / OVERSAMPLING];
  context.save();
  context.beginPath();
  context.arc(middle, middle, size * 0.385, 0, Math.PI * 2);
  context.clip();
  context.fillStyle = "rgba(0,0,0,0.10)";
  context.fill();
  context.imageSmoothingQuality = "high";
  for (let nth = all - 1; nth >= 0; nth--) {
    // Golden angles fill a disc evenly; the outermost beads lie lowest and are drawn first.
    const radius = size * 0.36 * Math.sqrt((nth + 0.5) / Math.max(all, 24));
    const angle = nth * 2.39996;
    context.save();
    context.translate(middle + radius * Math.cos(angle), middle + radius * Math.sin(angle));
    context.rotate(((nth * 1.618) % 1) * Math.PI - Math.PI / 2);
    context.drawImage(bead, -width / 2, -height / 2, width, height);
    context.restore();
  }
  context.restore();
}
