// What the program says in the words of its command line, said in those of the desk.

/** What is no field of the desk. @type {Record<string, string>} */
const ELSEWHERE = {
  crop: "the frame on the picture",
  keep: "“Keep in”",
  without: "“Leave out”",
  mirror: "“both sides alike” and “both ends alike”",
  palette: "the drawer",
  title: "the design’s name",
  open: "“Length by: flat strip”",
  swatch: "“Swatch” under Your gauge",
  fits: "“Band that fits” under Your gauge",
  prefer: "“Of two counts” under Your gauge",
  gauge: "“Open” under Your gauge",
  flat: "“Flat chart”",
};

/** Names of options that have another name on the desk. @type {Record<string, string>} */
const CALLED = { seen: "seen-for" };
/** Where a choice is written out, that is what is spoken of. @type {Record<string, string>} */
const WRITTEN = { "seen-for": "seen-mm", bead: "bead-own", sits: "seat" };

/** @param {string} text */
export function plainly(text) {
  return text.replace("give --swatch ROWS=MM", "write it under Your gauge").replace("by hand, on the desk or in the chart's file", "by hand").replace(/--([a-z]+(?:-[a-z]+)*)(?: ([A-Z]+(?:=[A-Z]+)?(?![a-z])|[0-9][\w.%:=]*|[a-z]+\b))?/g, (_, option, value = "") => {
    const rest = value && /^[a-z]/.test(value) ? ` ${value}` : "";
    if (ELSEWHERE[option]) return ELSEWHERE[option] + rest;
    const id = CALLED[option] ?? option;
    const chosen = document.getElementById(id);
    const own = chosen instanceof HTMLSelectElement && chosen.value === "own" ? WRITTEN[id] : undefined;
    const field = document.getElementById(own ?? id) ?? document.querySelector(`[data-option="${option}"]`);
    const label = field?.closest("label");
    if (!field || !label) return option.replaceAll("-", " ") + (value ? ` ${value}` : "");
    const name = (label.querySelector("span") ?? label).textContent?.trim() ?? option;
    const wish = field instanceof HTMLSelectElement && value ? [...field.options].find((each) => each.value === value.split(":")[0]) : undefined;
    if (wish) return `“${name}: ${wish.text}”`;
    return `“${name}”${rest || (/^[0-9]/.test(value) ? ` ${value}` : "")}`;
  });
}
