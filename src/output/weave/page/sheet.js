// The sheet with everything that is not needed at every row.

/** @import { Work } from "./work.js" */
/** @import { Actions } from "./view.js" */
import { grouped } from "./work.js";
import { beadElement, create, icon, partElement } from "./parts.js";

/** The sheet. */
export class Sheet {
  /**
   * @param {Work} work
   * @param {Actions} actions
   */
  constructor(work, actions) {
    const turn = { type: "button", "aria-pressed": "false", click: actions.toggleTurned };
    this.turned = create("button", turn, icon("done"), create("span", {}, TURN_OVER));
    this.message = create("p", { class: "follow-message", role: "status" });
    this.status = create("div", { class: "follow-status" });
    const close = create(
      "button",
      {
        type: "button",
        class: "follow-close",
        "aria-label": "Close",
        click: () => this.element.close(),
      },
      icon("close"),
    );
    const title = create("h2", { id: "follow-sheet-title" }, work.title);
    this.element = create(
      "dialog",
      { class: "follow-sheet", "aria-labelledby": "follow-sheet-title" },
      create("div", { class: "follow-sheet-head" }, title, close),
      ...work.facts.map((fact) => create("p", { class: "follow-muted" }, fact)),
      create("h3", {}, "Your place"),
      rowForm(work, actions),
      placeButtons(actions),
      this.message,
      this.status,
      create("h3", {}, "Direction"),
      create("div", { class: "follow-fields" }, this.turned),
      create("h3", {}, "Colours"),
      colourList(work),
      ...work.help.map((part) => partElement(part, "follow-help")),
      partElement(SHORTCUTS, "follow-help"),
    );
  }

  /**
   * Says what came of a button.
   * @param {string} words
   */
  say(words) {
    this.message.textContent = words;
  }

  /**
   * Says what holds for the page now.
   * @param {string[]} lines
   */
  showStatus(lines) {
    const items = lines.map((words) => create("p", { class: "follow-muted" }, words));
    this.status.replaceChildren(...items);
  }
}

/** What the choice of the arrows is called. */
const TURN_OVER = "I turn the work over after each row";

const SHORTCUTS = {
  heading: "Keyboard shortcuts",
  paragraphs: [
    "→, Space or Enter: next. ←: back. Ctrl+Z: undo. On a touch screen, swipe left for next and " +
      "right for back.",
  ],
};

/**
 * @param {Work} work
 * @param {Actions} actions
 */
function rowForm(work, actions) {
  const beads = work.steps.flatMap((step) => step.beads ?? []);
  const rows = beads.map((bead) => work.band.row[bead] ?? 0);
  const field = create("input", {
    type: "number",
    id: "follow-row",
    min: rows.reduce((least, row) => Math.min(least, row), Infinity),
    max: rows.reduce((most, row) => Math.max(most, row), 0),
    inputmode: "numeric",
    required: true,
  });
  const submit = (/** @type {Event} */ event) => {
    event.preventDefault();
    actions.goToRow(field.valueAsNumber);
  };
  return create(
    "form",
    { class: "follow-fields", submit },
    create("label", { for: "follow-row" }, "Row"),
    field,
    create("button", { type: "submit" }, "Go"),
  );
}

/** @param {Actions} actions */
function placeButtons(actions) {
  const file = create("input", {
    type: "file",
    accept: ".json,application/json",
    class: "follow-hidden",
    change: () => {
      const chosen = file.files?.[0];
      if (chosen) actions.open(chosen);
      file.value = "";
    },
  });
  return create(
    "div",
    { class: "follow-fields" },
    create("button", { type: "button", click: actions.save }, "Save the place to a file"),
    create("label", { class: "follow-file" }, file, "Open a saved place"),
    create("button", { type: "button", click: actions.restart }, "Start again"),
  );
}

/** @param {Work} work */
function colourList(work) {
  const list = create("ul", { class: "follow-colours" });
  for (const { hex, about, name, count } of work.colours) {
    if (count === 0) continue;
    const isNamed = about === name || about.startsWith(`${name} `);
    const words = isNamed ? about : `${name}: ${about}`;
    const number = create("span", { class: "follow-number" }, `× ${grouped(count)}`);
    list.append(create("li", {}, beadElement(hex), create("span", {}, words), number));
  }
  return list;
}
