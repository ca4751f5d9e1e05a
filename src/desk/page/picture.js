// The picture beside the mat: how it is cropped by dragging on it, and what is wished of the chart.

import { get, part } from "./dom.js";

/** @typedef {{x: number, y: number, width: number, height: number}} Crop in pixels of the upright picture */
/** @typedef {{name: string, bytes: ArrayBuffer, id: string, width: number, height: number}} Picture */

/** The frame that is dragged on the picture. */
export class Frame {
  /** @param {(crop: Crop | null) => void} changed told when the hand lets go */
  constructor(changed) {
    this.box = part("picture-box");
    this.image = get("picture-image", HTMLImageElement);
    this.frame = part("crop");
    this.changed = changed;
    /** @type {Picture | null} */
    this.picture = null;
    /** @type {Crop | null} */
    this.crop = null;
    this.listen();
    new ResizeObserver(() => this.lay()).observe(this.image);
  }

  /** @param {Picture | null} picture @param {Crop | null} crop */
  show(picture, crop) {
    const other = picture?.id !== this.picture?.id;
    this.picture = picture;
    this.crop = crop;
    part("picture-none").hidden = picture !== null;
    this.box.hidden = picture === null;
    if (picture && other) {
      this.image.src = `picture/${picture.id}?width=600`;
      this.image.alt = `The picture ${picture.name}`;
    }
    this.lay();
  }

  lay() {
    const { picture, crop, frame, image } = this;
    part("crop-all").hidden = !crop;
    frame.hidden = !picture;
    frame.classList.toggle("cropped", crop !== null);
    if (!picture || !image.clientWidth) return;
    const { x, y, width, height } = crop ?? { x: 0, y: 0, width: picture.width, height: picture.height };
    const scale = image.clientWidth / picture.width;
    frame.style.left = `${image.offsetLeft + x * scale}px`;
    frame.style.top = `${image.offsetTop + y * scale}px`;
    frame.style.width = `${width * scale}px`;
    frame.style.height = `${height * scale}px`;
    const words = crop ? `from ${x} across, ${y} down; ${width} wide, ${height} high` : "all of the picture";
    frame.setAttribute("aria-label", `Part of the picture in use: ${words}. Arrows move it, with Shift they size it.`);
  }

  /** @param {Crop} crop */
  inside(crop) {
    const { width: most, height: highest } = /** @type {Picture} */ (this.picture);
    const width = Math.max(2, Math.min(most, Math.round(crop.width)));
    const height = Math.max(2, Math.min(highest, Math.round(crop.height)));
    return {
      x: Math.max(0, Math.min(most - width, Math.round(crop.x))),
      y: Math.max(0, Math.min(highest - height, Math.round(crop.y))),
      width,
      height,
    };
  }

  /** @param {Crop | null} crop */
  done(crop) {
    const { picture } = this;
    const all = crop && picture && crop.width >= picture.width && crop.height >= picture.height;
    this.crop = all ? null : crop;
    this.lay();
    this.changed(this.crop);
  }

  listen() {
    /** @type {{x: number, y: number, crop: Crop | null, how: "new" | "move" | "size"} | null} */
    let drag = null;
    /** @type {Crop | null} */
    let before = null;
    const spot = (/** @type {PointerEvent} */ event) => {
      const bounds = this.image.getBoundingClientRect();
      const scale = /** @type {Picture} */ (this.picture).width / bounds.width;
      return { x: (event.clientX - bounds.left) * scale, y: (event.clientY - bounds.top) * scale };
    };
    this.box.addEventListener("pointerdown", (event) => {
      if (!this.picture || event.button > 0) return;
      event.preventDefault();
      const how = event.target === part("crop-corner") ? "size" : event.target === this.frame && this.crop ? "move" : "new";
      before = this.crop;
      drag = { ...spot(event), crop: this.crop ?? { x: 0, y: 0, width: this.picture.width, height: this.picture.height }, how };
      try {
        this.box.setPointerCapture(event.pointerId);
      } catch {
        /* a pointer made by a program */
      }
      this.frame.focus({ preventScroll: true });
    });
    this.box.addEventListener("pointermove", (event) => {
      if (!drag || !this.picture) return;
      const to = spot(event);
      const by = { x: to.x - drag.x, y: to.y - drag.y };
      const { crop, how } = drag;
      if (how === "new") {
        if (Math.hypot(by.x, by.y) < this.picture.width * 0.02) return;
        const x = Math.max(0, Math.min(drag.x, to.x));
        const y = Math.max(0, Math.min(drag.y, to.y));
        this.crop = this.inside({
          x,
          y,
          width: Math.min(this.picture.width, Math.max(drag.x, to.x)) - x,
          height: Math.min(this.picture.height, Math.max(drag.y, to.y)) - y,
        });
      } else if (crop && how === "move") {
        this.crop = this.inside({ ...crop, x: crop.x + by.x, y: crop.y + by.y });
      } else if (crop) {
        this.crop = this.inside({
          ...crop,
          width: Math.min(this.picture.width - crop.x, crop.width + by.x),
          height: Math.min(this.picture.height - crop.y, crop.height + by.y),
        });
      }
      this.lay();
    });
    const end = (/** @type {boolean} */ kept) => () => {
      if (!drag) return;
      drag = null;
      if (!kept) this.crop = before;
      if (this.crop !== before) this.done(this.crop);
      else this.lay();
    };
    this.box.addEventListener("pointerup", end(true));
    this.box.addEventListener("pointercancel", end(false));
    this.frame.addEventListener("keydown", (event) => this.key(event));
    part("crop-all").addEventListener("click", () => this.done(null));
  }

  /** @param {KeyboardEvent} event */
  key(event) {
    const { picture } = this;
    const way = /** @type {Record<string, [number, number]>} */ ({ ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] })[event.key];
    if (!way || !picture) return;
    event.preventDefault();
    const step = Math.max(1, Math.round(Math.max(picture.width, picture.height) / 50));
    const crop = this.crop ?? { x: 0, y: 0, width: picture.width, height: picture.height };
    const [x, y] = [way[0] * step, way[1] * step];
    this.done(this.inside(event.shiftKey ? { ...crop, width: crop.width + x, height: crop.height + y } : { ...crop, x: crop.x + x, y: crop.y + y }));
  }
}

/** What is wished of a chart, as the form says it: the command line's options by their long names.
 * @typedef {Record<string, string | number | boolean | string[] | undefined>} Wishes */

/** Reads the form beside the mat. @returns {Wishes} */
export function wishes() {
  const value = (/** @type {string} */ id) => /** @type {HTMLInputElement | HTMLSelectElement} */ (part(id)).value;
  const ticked = (/** @type {string} */ id) => get(id, HTMLInputElement).checked;
  const length = value("length-by");
  const place = value("place") === "repeat" ? `repeat:${value("repeats")}` : value("place");
  const mirror = [...(ticked("mirror-columns") ? ["columns"] : []), ...(ticked("mirror-rows") ? ["rows"] : [])];
  const dither = value("dither");
  return {
    columns: Number(value("columns")),
    size: length === "size" ? value("size") : undefined,
    rows: length === "size" ? undefined : Number(value("rows")),
    open: length === "open" ? true : undefined,
    bead: bead(),
    ...gauge(),
    place,
    seat: place === "motif" ? seat(value("sits"), value("seat").trim()) : undefined,
    fit: value("fit") || undefined,
    turn: value("turn") || undefined,
    margin: Number(value("margin")) || undefined,
    ground: value("ground") || undefined,
    colours: value("colours") ? Number(value("colours")) : undefined,
    dither: dither === "none" ? undefined : dither,
    strength: dither === "none" ? undefined : Number(value("strength")),
    crisp: Number(value("crisp")) || undefined,
    calm: Number(value("calm")) || undefined,
    refine: ticked("refine") || undefined,
    seen: (ticked("refine") && seenFor()) || undefined,
    from_stock: ticked("from-stock") || undefined,
    make: (ticked("from-stock") && value("stock-make")) || undefined,
    spare: (ticked("from-stock") && value("stock-spare")) || undefined,
    mirror: mirror.length ? mirror : undefined,
  };
}

/** Where a motif sits: nothing said is where it reads best. @param {string} word @param {string} own */
function seat(word, own) {
  return (word === "own" ? own : word) || undefined;
}

/** The distances that a band is refined for, in millimetres. */
export function seenFor() {
  const { value } = get("seen-for", HTMLSelectElement);
  return (value === "own" ? get("seen-mm", HTMLInputElement).value.trim() : value) || undefined;
}

/** The bead by its size, or its own measures. */
export function bead() {
  const size = get("bead", HTMLSelectElement).value;
  return (size === "own" ? get("bead-own", HTMLInputElement).value.trim() : size) || undefined;
}

/** The weaver's own gauge, as far as she says it here; the program reads her gauge file besides. @returns {Wishes} */
export function gauge() {
  const value = (/** @type {string} */ id) => /** @type {HTMLInputElement | HTMLSelectElement} */ (part(id)).value.trim() || undefined;
  return { swatch: value("swatch"), fits: value("fits"), prefer: value("prefer") };
}

/** The fields that are kept over a reload. */
const KEPT = "#wishes input, #wishes select, #near input, .drawer-more input";

/** Puts wishes back into the form, as they were kept. @param {Record<string, string | boolean>} kept */
export function wish(kept) {
  for (const [id, value] of Object.entries(kept)) {
    const field = document.getElementById(id);
    if (field instanceof HTMLInputElement && field.type === "checkbox") field.checked = value === true;
    else if (field instanceof HTMLInputElement || field instanceof HTMLSelectElement) field.value = String(value);
  }
  const crisp = get("crisp", HTMLInputElement);
  if (Number(crisp.value) !== usualCrisp()) crisp.dataset.moved = "yes";
  suit();
}

/** What a chart says of its making, as fields of the form. @param {Record<string, string>} made @returns {Record<string, string | boolean>} */
export function wishedOf(made) {
  const [place, repeats] = (made.place ?? "round").split(":");
  const known = made.seen === "300,700,2000" ? "" : ["300", "700", "2000"].includes(made.seen) ? made.seen : "own";
  return {
    place,
    ...(repeats ? { repeats } : {}),
    ...(made.seat ? { sits: "own", seat: made.seat } : { sits: place === "motif" ? "middle" : "" }),
    fit: made.fit ?? "",
    turn: made.turn ?? "",
    margin: made.margin ?? "0",
    ground: made.ground ?? "",
    colours: made.colours ?? "",
    dither: made.dither ?? "none",
    strength: made.strength ?? "0.5",
    crisp: made.crisp ?? "0",
    calm: made.calm ?? "0",
    refine: made.seen !== undefined,
    ...(made.seen ? { "seen-for": known, ...(known === "own" ? { "seen-mm": made.seen } : {}) } : {}),
    "mirror-columns": ["columns", "both"].includes(made.mirror),
    "mirror-rows": ["rows", "both"].includes(made.mirror),
    "from-stock": made.from_stock !== undefined,
    ...(made.from_stock ? { "stock-make": made.from_stock, "stock-spare": made.spare ?? "" } : {}),
  };
}

/** The form's fields as they stand, to be kept. @returns {Record<string, string | boolean>} */
export function wished() {
  /** @type {Record<string, string | boolean>} */
  const kept = {};
  for (const field of document.querySelectorAll(KEPT)) {
    if (field instanceof HTMLInputElement && field.type === "checkbox") kept[field.id] = field.checked;
    else if (field instanceof HTMLInputElement || field instanceof HTMLSelectElement) kept[field.id] = field.value;
  }
  return kept;
}

/** A motif of few beads is lost without its thin lines; what goes all round may be a photograph. */
function usualCrisp() {
  return get("place", HTMLSelectElement).value === "motif" ? 1 : 0;
}

/** Lines are as crisp as suits the place, until she sets them. */
export function followPlace() {
  const crisp = get("crisp", HTMLInputElement);
  crisp.addEventListener("input", () => {
    crisp.dataset.moved = "yes";
  });
  // The place itself hears of its change before the form does.
  part("place").addEventListener("input", () => {
    if (!crisp.dataset.moved) crisp.value = String(usualCrisp());
  });
}

/** Hides the fields that mean nothing beside the others. */
export function suit() {
  const value = (/** @type {string} */ id) => /** @type {HTMLInputElement | HTMLSelectElement} */ (part(id)).value;
  part("size-field").hidden = value("length-by") !== "size";
  part("rows-field").hidden = value("length-by") === "size";
  part("repeats-field").hidden = value("place") !== "repeat";
  part("sits-field").hidden = value("place") !== "motif";
  part("seat-field").hidden = value("place") !== "motif" || value("sits") !== "own";
  part("strength-field").hidden = value("dither") === "none";
  part("bead-own-field").hidden = value("bead") !== "own";
  const refined = get("refine", HTMLInputElement).checked;
  part("seen-for-field").hidden = !refined;
  part("seen-mm-field").hidden = !refined || value("seen-for") !== "own";
  for (const id of ["stock-make-field", "stock-spare-field"]) part(id).hidden = !get("from-stock", HTMLInputElement).checked;
  // What is not shown is not meant, and cannot be wrong.
  for (const label of part("wishes").querySelectorAll("label")) for (const field of label.querySelectorAll("input, select")) field.toggleAttribute("disabled", Boolean(label.hidden));
  for (const fold of FOLDS) part(fold).classList.toggle("changed", isChanged(part(fold)));
}

/** What is folded away tells by a dot that not all in it is as usual. */
const FOLDS = ["fold-lies", "fold-finer"];

/** @param {HTMLElement} fold */
function isChanged(fold) {
  return [...fold.querySelectorAll("input, select")].some((field) => {
    if (field instanceof HTMLSelectElement) return field.selectedIndex > 0;
    if (!(field instanceof HTMLInputElement) || field.id === "strength") return false;
    return field.type === "checkbox" ? field.checked : field.value !== field.defaultValue;
  });
}
