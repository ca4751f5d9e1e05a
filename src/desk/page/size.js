// True size: how many of the screen's pixels are a millimetre. Measured once by a bank card laid on the screen.

import * as lattice from "./lattice.js";
import { paint } from "./beads.js";
import { remember, remembered } from "./keep.js";

/** Width and height of a bank card in millimetres: ISO/IEC 7810:2019, size ID-1. */
export const CARD = { width: 85.6, height: 53.98 };
/** Pixels in a millimetre where nothing was measured: CSS Values 4 takes 96 pixels to an inch of 25.4 mm. */
const ASSUMED = 96 / 25.4;

/** CSS pixels in a millimetre of this screen, and whether somebody measured them. */
export function scale() {
  const kept = remembered("pixels a millimetre");
  return typeof kept === "number" && kept > 1 && kept < 30 ? { pixels: kept, measured: true } : { pixels: ASSUMED, measured: false };
}

/** Keeps what a card laid on the screen showed. @param {number} pixels the card's width in CSS pixels */
export function measured(pixels) {
  remember("pixels a millimetre", pixels / CARD.width);
}

/** What lies on the canvas, so that only what changed is drawn again. @type {{chart: import("./chart.js").Chart, unit: number} | null} */
let drawn = null;
/** Beads painted at this size, a pixel wider or higher as they fall. @type {Map<string, OffscreenCanvas>} */
const sprites = new Map();
/** Of those, most that are kept: a band of very many colours begins again. */
const KEPT_SPRITES = 1000;

/** Draws the band at true size; of a band that was drawn before only the beads that differ. @param {HTMLCanvasElement} canvas
 * @param {import("./chart.js").Chart} chart */
export function drawTrue(canvas, chart) {
  // Twice as fine as the screen, so that small beads keep their shape, as long as the drawing stays small.
  const fine = chart.beads.length > 6000 ? 1 : 2;
  const ratio = fine * (window.devicePixelRatio || 1);
  const unit = scale().pixels * ratio;
  const { width, height } = lattice.extent(chart);
  const long = chart.bead.length_mm * unit;
  const half = (chart.bead.diameter_mm / 2) * unit;
  const on = canvas.getContext("2d");
  if (!on) return;
  const before = drawn?.unit === unit && alike(drawn.chart, chart) ? drawn.chart : null;
  if (!before) {
    canvas.width = Math.ceil(width * long);
    canvas.height = Math.ceil(height * half);
    canvas.style.width = `${canvas.width / ratio}px`;
    canvas.style.height = `${canvas.height / ratio}px`;
  }
  if (drawn?.unit !== unit || sprites.size > KEPT_SPRITES) sprites.clear();
  drawn = { chart, unit };
  for (let bead = 0; bead < chart.beads.length; bead++) {
    const colour = chart.colours[chart.beads[bead]];
    if (before && before.colours[before.beads[bead]] === colour) continue;
    const at = lattice.corner(lattice.place(chart, bead));
    const x = Math.round(at.x * long);
    const y = Math.round((height - at.y - 2) * half);
    const [wide, high] = [Math.round((at.x + 1) * long) - x, Math.round((height - at.y) * half) - y];
    const key = `${colour.hex} ${colour.finish ?? ""} ${wide} ${high}`;
    let sprite = sprites.get(key);
    if (!sprite) {
      sprite = new OffscreenCanvas(wide, high);
      paint(/** @type {OffscreenCanvasRenderingContext2D} */ (sprite.getContext("2d")), 0, 0, wide, high, colour);
      sprites.set(key, sprite);
    }
    on.clearRect(x, y, wide, high);
    on.drawImage(sprite, x, y);
  }
}

/** Room beside the ring, in CSS pixels. */
const BESIDE = 86;

/** Whatever is shown of the band, if it is broader than the room beside the ring it lies below it. @param {HTMLElement} shown */
export function layBeside(shown) {
  shown.closest(".worn")?.classList.toggle("wide", parseFloat(shown.style.width) > BESIDE);
}

/** @param {import("./chart.js").Chart} one @param {import("./chart.js").Chart} other */
function alike(one, other) {
  return (
    one.columns === other.columns && one.rows === other.rows && one.bead.length_mm === other.bead.length_mm && one.bead.diameter_mm === other.bead.diameter_mm
  );
}
