// The picture beside the band, and the frame on it that chooses the part in use.

import { capturePointer, element, get, onClick } from "./dom.js";

/** @typedef {{x: number, y: number, width: number, height: number}} Crop in upright pixels */
/**
 * @typedef {{name: string, bytes: ArrayBuffer, id: string, width: number, height: number}} Picture
 */
/** @typedef {"draw" | "move" | "resize"} DragMode */
/** @typedef {{x: number, y: number, crop: Crop, mode: DragMode}} Drag where and how it began */

/** A frame that is drawn has at least this share of the picture's width. */
const LEAST_DRAG = 0.02;
/** An arrow key moves the frame by this share of the picture's longer side. */
const KEY_STEP = 1 / 50;

/** @type {Record<string, {x: number, y: number}>} */
const ARROWS = {
  ArrowLeft: { x: -1, y: 0 },
  ArrowRight: { x: 1, y: 0 },
  ArrowUp: { x: 0, y: -1 },
  ArrowDown: { x: 0, y: 1 },
};

export class CropFrame {
  /** @param {(crop: Crop | null) => void} onChange */
  constructor(onChange) {
    this.box = element("picture-frame");
    this.image = get("picture-image", HTMLImageElement);
    this.frame = element("crop");
    this.onChange = onChange;
    /** @type {Picture | null} */
    this.picture = null;
    /** @type {Crop | null} */
    this.crop = null;
    /** The part that was chosen while there is no crop. @type {Crop | null} */
    this.chosen = null;
    /** @type {Drag | null} */
    this.drag = null;
    /** The crop before the drag. @type {Crop | null} */
    this.before = null;
    this.listen();
    new ResizeObserver(() => this.render()).observe(this.image);
  }

  /**
   * Shows a picture and the part of it in use.
   * @param {Picture | null} picture
   * @param {Crop | null} crop
   */
  show(picture, crop) {
    const isOther = picture?.id !== this.picture?.id;
    this.picture = picture;
    this.crop = crop;
    if (isOther) this.chosen = null;
    element("picture-empty").hidden = picture !== null;
    this.box.hidden = picture === null;
    if (picture && isOther) {
      this.image.src = `picture/${picture.id}?width=600`;
      this.image.alt = `The picture ${picture.name}`;
    }
    this.render();
  }

  /**
   * Shows the part of the picture that was chosen automatically.
   * @param {Crop | null} chosen
   */
  showChosen(chosen) {
    this.chosen = chosen;
    this.render();
  }

  /**
   * The part of a picture in use.
   * @param {Picture} picture
   */
  partOf(picture) {
    return this.crop ?? this.chosen ?? whole(picture);
  }

  /** Puts the frame round the part in use. */
  render() {
    const { picture, crop, frame, image } = this;
    element("crop-reset").hidden = !crop;
    frame.hidden = !picture;
    const isPart = (crop ?? this.chosen) !== null;
    frame.classList.toggle("cropped", isPart);
    if (!picture || !image.clientWidth) return;
    const { x, y, width, height } = this.partOf(picture);
    const scale = image.clientWidth / picture.width;
    frame.style.left = `${image.offsetLeft + x * scale}px`;
    frame.style.top = `${image.offsetTop + y * scale}px`;
    frame.style.width = `${width * scale}px`;
    frame.style.height = `${height * scale}px`;
    const part = isPart
      ? `from ${x} across, ${y} down; ${width} wide, ${height} high`
      : "the whole picture";
    const help = "The arrow keys move it, with Shift they resize it.";
    frame.setAttribute("aria-label", `Part of the picture in use: ${part}. ${help}`);
  }

  /**
   * A crop of whole pixels inside the picture.
   * @param {Crop} crop
   */
  clamp(crop) {
    const picture = /** @type {Picture} */ (this.picture);
    const width = Math.max(2, Math.min(picture.width, Math.round(crop.width)));
    const height = Math.max(2, Math.min(picture.height, Math.round(crop.height)));
    return {
      x: Math.max(0, Math.min(picture.width - width, Math.round(crop.x))),
      y: Math.max(0, Math.min(picture.height - height, Math.round(crop.y))),
      width,
      height,
    };
  }

  /**
   * Uses a crop and reports it; one of the whole picture is none, unless a part was chosen.
   * @param {Crop | null} crop
   */
  apply(crop) {
    const { picture } = this;
    const isWhole = crop && picture && crop.width >= picture.width && crop.height >= picture.height;
    this.crop = isWhole && !this.chosen ? null : crop;
    this.render();
    this.onChange(this.crop);
  }

  listen() {
    this.box.addEventListener("pointerdown", (event) => this.begin(event));
    this.box.addEventListener("pointermove", (event) => this.follow(event));
    this.box.addEventListener("pointerup", () => this.end());
    this.box.addEventListener("pointercancel", () => {
      if (this.drag) this.crop = this.before;
      this.end();
    });
    this.frame.addEventListener("keydown", (event) => this.onKey(event));
    onClick("crop-reset", () => this.apply(null));
  }

  /**
   * The pixel of the picture under the pointer.
   * @param {PointerEvent} event
   */
  pixelAt(event) {
    const bounds = this.image.getBoundingClientRect();
    const scale = /** @type {Picture} */ (this.picture).width / bounds.width;
    return { x: (event.clientX - bounds.left) * scale, y: (event.clientY - bounds.top) * scale };
  }

  /** @param {PointerEvent} event */
  begin(event) {
    if (!this.picture || event.button > 0) return;
    event.preventDefault();
    this.before = this.crop;
    const crop = this.partOf(this.picture);
    this.drag = { ...this.pixelAt(event), crop, mode: this.modeOf(event) };
    capturePointer(this.box, event);
    this.frame.focus({ preventScroll: true });
  }

  /**
   * @param {PointerEvent} event
   * @returns {DragMode}
   */
  modeOf(event) {
    if (event.target === element("crop-corner")) return "resize";
    return event.target === this.frame && (this.crop ?? this.chosen) ? "move" : "draw";
  }

  /** @param {PointerEvent} event */
  follow(event) {
    const { drag, picture } = this;
    if (!drag || !picture) return;
    const to = this.pixelAt(event);
    const by = { x: to.x - drag.x, y: to.y - drag.y };
    const { crop, mode } = drag;
    if (mode === "draw") {
      if (Math.hypot(by.x, by.y) < picture.width * LEAST_DRAG) return;
      this.crop = this.clamp(between(drag, to, picture));
    } else if (mode === "move") {
      this.crop = this.clamp({ ...crop, x: crop.x + by.x, y: crop.y + by.y });
    } else {
      const width = Math.min(picture.width - crop.x, crop.width + by.x);
      const height = Math.min(picture.height - crop.y, crop.height + by.y);
      this.crop = this.clamp({ ...crop, width, height });
    }
    this.render();
  }

  end() {
    if (!this.drag) return;
    this.drag = null;
    if (this.crop !== this.before) this.apply(this.crop);
    else this.render();
  }

  /** @param {KeyboardEvent} event */
  onKey(event) {
    const { picture } = this;
    const arrow = ARROWS[event.key];
    if (!arrow || !picture) return;
    event.preventDefault();
    const longer = Math.max(picture.width, picture.height);
    const step = Math.max(1, Math.round(longer * KEY_STEP));
    const crop = this.partOf(picture);
    const [x, y] = [arrow.x * step, arrow.y * step];
    const next = event.shiftKey
      ? { ...crop, width: crop.width + x, height: crop.height + y }
      : { ...crop, x: crop.x + x, y: crop.y + y };
    this.apply(this.clamp(next));
  }
}

/**
 * The part of a picture that a chart was made of. For a drawing it is counted in pixels that depend
 * on the band, so there the frame has to be drawn again.
 * @param {string} name
 * @param {string | undefined} crop as the chart says it
 * @returns {Crop | null}
 */
export function cropOf(name, crop) {
  if (!crop || /\.svgz?$/i.test(name)) return null;
  const [x, y, width, height] = crop.split(",").map(Number);
  return { x, y, width, height };
}

/**
 * The whole picture as a crop.
 * @param {Picture} picture
 * @returns {Crop}
 */
function whole({ width, height }) {
  return { x: 0, y: 0, width, height };
}

/**
 * The part of a picture between two points.
 * @param {{x: number, y: number}} from
 * @param {{x: number, y: number}} to
 * @param {Picture} picture
 * @returns {Crop}
 */
function between(from, to, picture) {
  const x = Math.max(0, Math.min(from.x, to.x));
  const y = Math.max(0, Math.min(from.y, to.y));
  const width = Math.min(picture.width, Math.max(from.x, to.x)) - x;
  const height = Math.min(picture.height, Math.max(from.y, to.y)) - y;
  return { x, y, width, height };
}
