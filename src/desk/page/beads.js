// How a bead looks: a short cylinder lying across the band, lit from above, by its finish.

/** @typedef {import('./chart.js').Colour} Colour */

/** Shares of white (positive) or black (negative) down a bead from its upper edge, by finish: modelled by eye, no source. */
/** @type {Record<string, [number, number][]>} */
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

/** A colour with a share of white or black in it. @param {string} hex six digits @param {number} share -1 to 1 */
export function tinted(hex, share) {
  const to = share > 0 ? 255 : 0;
  const parts = [0, 2, 4].map((at) => {
    const part = parseInt(hex.slice(at, at + 2), 16);
    return Math.round(part + (to - part) * Math.abs(share));
  });
  return `rgb(${parts.join(",")})`;
}

/** How light a colour is, 0 to 1: the relative luminance of WCAG 2. @param {string} hex */
export function luminance(hex) {
  const [red, green, blue] = [0, 2, 4].map((at) => {
    const part = parseInt(hex.slice(at, at + 2), 16) / 255;
    return part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
}

/** Draws a bead into a rectangle of whole pixels. @param {CanvasRenderingContext2D | OffscreenCanvasRenderingContext2D} on @param {number} x
 * @param {number} y @param {number} width @param {number} height @param {Colour} colour */
export function paint(on, x, y, width, height, colour) {
  if (height < 6 || width < 6) {
    on.fillStyle = "#" + colour.hex;
    on.fillRect(x, y, width, height);
    if (height < 4) return;
    on.fillStyle = "rgba(0,0,0,0.22)";
    on.fillRect(x, y + height - 1, width, 1);
    on.fillRect(x + width - 1, y, 1, height);
    return;
  }
  const light = LIGHT[colour.finish ?? "opaque"] ?? LIGHT.opaque;
  const shade = on.createLinearGradient(0, y, 0, y + height);
  for (const [at, share] of light) shade.addColorStop(at, tinted(colour.hex, share));
  const gap = width > 16 ? 0.75 : 0.5;
  const round = Math.min(width, height) * 0.2;
  on.beginPath();
  on.roundRect(x + gap, y + gap, width - 2 * gap, height - 2 * gap, round);
  on.fillStyle = shade;
  on.fill();
  // The cut ends turn away from the light.
  const ends = on.createLinearGradient(x, 0, x + width, 0);
  ends.addColorStop(0, "rgba(0,0,0,0.30)");
  ends.addColorStop(0.12, "rgba(0,0,0,0)");
  ends.addColorStop(0.88, "rgba(0,0,0,0)");
  ends.addColorStop(1, "rgba(0,0,0,0.30)");
  on.fillStyle = ends;
  on.fill();
  on.lineWidth = gap;
  on.strokeStyle = "rgba(20,16,10,0.38)";
  on.stroke();
}

/** Beads that are drawn of a heap of so many: more of them, the more there are. @param {number} count */
function pieces(count) {
  return Math.round(Math.min(46, 7 + 7 * Math.log2(1 + count)));
}

/** What a heap's looks depend on: two of the same word look the same. @param {number} size @param {Colour} colour @param {number} count */
export function heapWord(size, colour, count) {
  return `${size} ${colour.hex} ${colour.finish ?? ""} ${pieces(count)}`;
}

/** How much finer a loose bead is painted than it lies, since it is turned. */
const FINER = 2;

/** One loose bead with its soft shadow, upright. @param {number} size of the heap @param {Colour} colour */
function loose(size, colour) {
  const [length, height, room] = [size * 0.15, size * 0.175, size * 0.05].map((span) => span * FINER);
  const canvas = new OffscreenCanvas(Math.ceil(length + 2 * room), Math.ceil(height + 2 * room));
  const on = /** @type {OffscreenCanvasRenderingContext2D} */ (canvas.getContext("2d"));
  on.shadowColor = "rgba(0,0,0,0.35)";
  on.shadowBlur = size * FINER * 0.03;
  on.shadowOffsetY = size * FINER * 0.012;
  paint(on, (canvas.width - length) / 2, (canvas.height - height) / 2, length, height, colour);
  return canvas;
}

/** Draws a heap of loose beads in a round dish. @param {CanvasRenderingContext2D} on @param {number} size @param {Colour} colour @param {number} count */
export function heap(on, size, colour, count) {
  const middle = size / 2;
  const all = pieces(count);
  const bead = loose(size, colour);
  const [width, height] = [bead.width / FINER, bead.height / FINER];
  on.save();
  on.beginPath();
  on.arc(middle, middle, size * 0.385, 0, Math.PI * 2);
  on.clip();
  on.fillStyle = "rgba(0,0,0,0.10)";
  on.fill();
  on.imageSmoothingQuality = "high";
  for (let nth = 0; nth < all; nth++) {
    // A sunflower's order fills a disc evenly; the outermost lie lowest and are drawn first. The turns are golden angles.
    const at = all - 1 - nth;
    const far = size * 0.36 * Math.sqrt((at + 0.5) / Math.max(all, 24));
    const way = at * 2.39996;
    on.save();
    on.translate(middle + far * Math.cos(way), middle + far * Math.sin(way));
    on.rotate(((at * 1.618) % 1) * Math.PI - Math.PI / 2);
    on.drawImage(bead, -width / 2, -height / 2, width, height);
    on.restore();
  }
  on.restore();
}
