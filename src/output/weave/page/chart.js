// The chart beside the row: what is woven in full colour, the row at hand lit, what is to come pale.

/** @import { Work } from "./work.js" */
/** @import { Place } from "./place.js" */
import { make } from "./parts.js";

/** Smallest and largest width of a bead, in pixels. */
const BEAD = [7, 26];
/** The same for a band that then is seen from edge to edge, as the edges tell where the thread turns. */
const WHOLE = 5;
/** Room for the light round the outermost beads. */
const EDGE = 3;
/** How much of a bead's colour shows before it is woven. */
const PALE = 0.2;

/**
 * @param {Work} work
 * @returns {{element: HTMLElement, show: (place: Place, counts: boolean) => void, stop: () => void}}
 */
export function chart(work) {
  const { band } = work;
  const canvas = make("canvas", {});
  const element = make("div", { class: "follow-chart", "aria-hidden": "true" }, canvas);
  // The step of each bead, and its place in it; beads of rows that are not told stay at -1.
  const steps = new Int32Array(band.left.length).fill(-1);
  const nths = new Int32Array(band.left.length);
  work.steps.forEach((step, at) => step.beads?.forEach((bead, nth) => ((steps[bead] = at), (nths[bead] = nth))));
  /** @type {Place} */
  let place = { step: 0, bead: 0 };
  let counting = false;

  function draw() {
    const box = element.getBoundingClientRect();
    const pen = canvas.getContext("2d");
    if (!pen || box.width < 1 || box.height < 1) return;
    const density = window.devicePixelRatio || 1;
    canvas.width = Math.round(box.width * density);
    canvas.height = Math.round(box.height * density);
    pen.scale(density, density);
    const style = getComputedStyle(element);
    const colour = (/** @type {string} */ name) => style.getPropertyValue(name).trim();
    const gutter = Math.min(26, box.width * 0.26);
    const room = box.width - gutter - EDGE;
    const [wide = 1, high = 1, corner = 0] = band.bead;
    const fits = room / band.width;
    const scale = fits * wide >= WHOLE ? Math.min(fits, (BEAD[1] ?? 26) / wide) : (BEAD[0] ?? 7) / wide;
    const lit = focus();
    const across = slid(lit.x * scale, band.width * scale, room);
    const down = slid(lit.y * scale, band.height * scale, box.height);
    const left = gutter + across;
    pen.font = `${Math.min(11, gutter * 0.46)}px ${style.fontFamily}`;
    pen.textAlign = "right";
    pen.textBaseline = "middle";
    marks(pen, { scale, down, gutter, high: box.height, colour });
    pen.save();
    pen.beginPath();
    pen.rect(gutter - EDGE, 0, room + 2 * EDGE, box.height);
    pen.clip();
    const here = work.steps[place.step]?.beads ?? [];
    for (let bead = 0; bead < band.left.length; bead += 1) {
      const x = left + (band.left[bead] ?? 0) * scale;
      const y = down + (band.top[bead] ?? 0) * scale;
      if (y > box.height || y + high * scale < 0) continue;
      const step = steps[bead] ?? -1;
      const now = step === place.step;
      const picked = step < place.step;
      pen.globalAlpha = picked || now ? 1 : PALE;
      pen.fillStyle = `#${work.colours[band.colour[bead] ?? 0]?.hex}`;
      pen.beginPath();
      pen.roundRect(x, y, wide * scale, high * scale, corner * scale);
      pen.fill();
      pen.globalAlpha = picked || now ? 0.7 : 0.45;
      pen.lineWidth = 1;
      pen.strokeStyle = colour("--rim");
      pen.stroke();
    }
    pen.globalAlpha = 1;
    light(pen, here, { left, down, scale, colour });
    pen.restore();
  }

  /** Round the beads of this row; in the counting, round the one to pick up. @param {CanvasRenderingContext2D} pen @param {number[]} here @param {{left: number, down: number, scale: number, colour: (name: string) => string}} at */
  function light(pen, here, { left, down, scale, colour }) {
    const [wide = 1, high = 1, corner = 0] = band.bead;
    here.forEach((bead, nth) => {
      const next = nth === place.bead && counting;
      if (counting && nth > place.bead) pen.setLineDash([2, 2]);
      const grow = next ? 2.5 : 1;
      pen.lineWidth = next ? 3 : 2;
      pen.strokeStyle = colour("--accent");
      pen.beginPath();
      const x = left + (band.left[bead] ?? 0) * scale - grow;
      const y = down + (band.top[bead] ?? 0) * scale - grow;
      pen.roundRect(x, y, wide * scale + 2 * grow, high * scale + 2 * grow, corner * scale + grow);
      pen.stroke();
      pen.setLineDash([]);
    });
  }

  /** Every tenth row's number, and this row's with a mark. @param {CanvasRenderingContext2D} pen @param {{scale: number, down: number, gutter: number, high: number, colour: (name: string) => string}} at */
  function marks(pen, { scale, down, gutter, high, colour }) {
    const seen = new Set();
    const here = new Set((work.steps[place.step]?.beads ?? []).map((bead) => band.row[bead] ?? 0));
    const last = Math.max(...here, 0);
    for (let bead = 0; bead < band.row.length; bead += 1) {
      const row = band.row[bead] ?? 0;
      if (seen.has(row)) continue;
      seen.add(row);
      const now = row === last;
      const near = Math.abs(row - last) < 4;
      if (!now && (row % 10 !== 0 || near)) continue;
      const y = down + ((band.top[bead] ?? 0) + (band.bead[1] ?? 1) / 2) * scale;
      if (y < 4 || y > high - 4) continue;
      pen.fillStyle = now ? colour("--accent") : colour("--muted");
      pen.fillText(String(row), gutter - 6, y);
    }
  }

  /** Where the eye should be: the row at hand, or the end of the work. */
  function focus() {
    const beads = work.steps[place.step]?.beads ?? work.steps.findLast((step, at) => at <= place.step && step.beads)?.beads ?? [];
    const at = counting ? beads[Math.min(place.bead, beads.length - 1)] : beads[Math.floor(beads.length / 2)];
    return { x: band.left[at ?? 0] ?? 0, y: band.top[at ?? 0] ?? 0 };
  }

  const watch = new ResizeObserver(draw);
  watch.observe(element);
  const theme = window.matchMedia("(prefers-color-scheme: dark)");
  theme.addEventListener("change", draw);
  return {
    element,
    show(at, counts) {
      place = at;
      counting = counts;
      draw();
    },
    stop() {
      watch.disconnect();
      theme.removeEventListener("change", draw);
    },
  };
}

/**
 * How far a long thing is slid so that `at` is in the middle of the room, without leaving a gap at its ends.
 * @param {number} at
 * @param {number} long
 * @param {number} room
 */
function slid(at, long, room) {
  if (long <= room) return (room - long) / 2;
  return Math.min(0, Math.max(room - long, room / 2 - at));
}
