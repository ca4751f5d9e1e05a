// Reads unsaved work that an earlier version of the page stored in the browser.

/** The version of stored work. */
export const WORK_VERSION = 3;

/** Fields of the form that had another id. @type {Record<string, string>} */
const FIELDS = {
  "bead-own": "bead-custom",
  sits: "position",
  seat: "position-custom",
  fit: "scaling",
  turn: "rotate",
  "seen-for": "distances",
  "seen-mm": "distances-custom",
  "near-seen": "compare-distances",
  "near-laid": "compare-as-set",
};
/** Selections whose value `own` became `custom`. */
const CUSTOM = ["bead", "position", "distances"];

/**
 * Stored work as this version writes it.
 * @param {any} work
 */
export function upgradeWork(work) {
  if (work.version === WORK_VERSION) return work;
  const second = work.version === 2 ? work : upgradeFirst(work);
  return { ...second, version: WORK_VERSION, options: matchedOptions(second) };
}

/**
 * The fields of work from before pictures were read: its charts were matched bead by bead. Where no
 * picture was charted, nobody chose how to.
 * @param {any} work
 */
function matchedOptions({ options, picture }) {
  const { "mirror-columns": columns, "mirror-rows": rows, ...same } = options;
  if (!picture) {
    const { place, colours, crisp, calm, ...open } = same;
    return open;
  }
  const axes = Object.entries({ columns, rows }).filter(([, isMirrored]) => isMirrored);
  const mirror = axes.length > 1 ? "both" : (axes[0]?.[0] ?? "none");
  return { ...same, match: "nearest", mirror };
}

/** @param {any} work */
function upgradeFirst(work) {
  const { wished, out, hand, pinned, banned, origin, saved, axes, brought, ...same } = work;
  return {
    ...same,
    version: 2,
    done: work.done.map(upgradeEntry),
    undone: work.undone.map(upgradeEntry),
    options: Object.fromEntries(Object.entries(wished).map(upgradeField)),
    addedColours: out,
    colour: hand,
    keptColours: pinned,
    excludedColours: banned,
    originalText: origin,
    savedAfter: saved,
    mirrors: axes,
    isSourcePicture: brought,
  };
}

/** @param {any} entry */
function upgradeEntry({ command, said, ...rest }) {
  return { ...rest, edit: upgradeEdit(command), label: said };
}

/**
 * @param {any} edit
 * @returns {any}
 */
function upgradeEdit({ kind, ...edit }) {
  switch (kind) {
    case "turn":
      return { kind: "shift", up: edit.round, right: edit.across };
    case "rows":
    case "columns": {
      const { into, ...rest } = edit;
      return { kind, change: into ? "insert" : "remove", ...rest };
    }
    case "words":
      return { kind: "text", ...edit };
    case "whole":
      return { kind: "chart", ...edit };
    case "all":
      return { kind: "group", parts: edit.parts.map(upgradeEdit) };
    default:
      return { kind, ...edit };
  }
}

/**
 * @param {[string, unknown]} field
 * @returns {[string, unknown]}
 */
function upgradeField([id, value]) {
  const name = FIELDS[id] ?? id;
  return [name, CUSTOM.includes(name) && value === "own" ? "custom" : value];
}
