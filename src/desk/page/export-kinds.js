// What the exports are called, by their kind.

/** Files for people, the most wanted first. @type {Record<string, string>} */
export const KINDS = {
  pdf: "Printed pattern",
  page: "Follow-along page",
  rows: "Rows, written out",
  png: "Flat chart, picture",
  svg: "Flat chart, drawing",
  beads: "Bead picture",
  seen: "From a distance",
  ring: "Ring picture",
  turntable: "Rolling ring",
  "kit-text": "Kit list",
  "kit-csv": "Kit table",
  check: "Problems found",
  sizes: "Other sizes",
  chart: "Chart file",
};

/** The verbs of the program whose result is an export. @type {Record<string, string>} */
export const VERBS = {
  pdf: "print",
  rows: "weave",
  "kit-text": "kit",
  check: "check",
  sizes: "resize",
};

/** Documents for other programs. @type {Record<string, string>} */
export const DOCUMENTS = {
  "weave-json": "Rows and thread passes",
  "kit-json": "Kit",
  "check-json": "Problems",
  "sizes-json": "Table of sizes",
  "fit-json": "Rows for the ring size",
  "near-json": "Match with the picture",
  "palette-json": "Similar colours",
  schema: "Schema of charts",
  "schema-weave": "Schema of rows",
};
