// Slips and dialogs: what is handed on, the screen's measure, weaving, keys.

import { get, make, part, say } from "./dom.js";
import * as files from "./files.js";
import * as follow from "./follow.js";
import { layKeys } from "./keys.js";
import { CARD, measured, scale } from "./size.js";
import { desk, fileName, textOf } from "./state.js";
import { heed } from "./program.js";
import { factsLater, keepLater, trueLater } from "./deeds.js";
import { layTheDrawer, openDrawer, shut, unfold } from "./chest.js";
import { besideLater, nearLater, refineRound, swapOnto } from "./anew.js";
import { alikeLater } from "./alike.js";
import { keepGauge, layGauge, leaveGauge, openGauge, saveGauge } from "./gauge.js";
import { saveSeen, takeFile, takePalette, takePhoto } from "./come.js";
import { chooseCover, handOn, layDocuments, saveTold } from "./out.js";

/** Options of the kit that change the numbers beside the mat. */
const KIT = ["make", "spare", "thread", "tail", "length"];

/** @param {(id: string, does: () => void) => void} on */
export function listenToDialogs(on) {
  on("drawer-open", openDrawer);
  on("drawer-close", () => shut("drawer"));
  get("drawer-seek", HTMLInputElement).addEventListener("input", layTheDrawer);
  get("palette-choice", HTMLSelectElement).addEventListener("change", () => {
    const { value } = get("palette-choice", HTMLSelectElement);
    const known = desk.begin.palettes.find((/** @type {{name: string}} */ each) => each.name === value);
    if (known) void takePalette(known.name, known.text, true);
  });
  on("palette-open", async () => {
    const file = await files.choose("pick-palette");
    if (file) await takeFile(file);
  });
  on("palette-photo", async () => {
    const file = await files.choose("pick-photo");
    if (file) await takePhoto(file);
  });
  on("palette-save", () => {
    if (desk.palette) files.download(new Blob([desk.palette.text], { type: "text/csv" }), desk.palette.file);
  });
  on("swap-onto", async () => {
    await swapOnto();
    layTheDrawer();
  });
  on("refine-round", () => void refineRound());
  get("cover", HTMLSelectElement).addEventListener("change", () => void chooseCover());
  part("near").addEventListener("toggle", nearLater);
  part("near").addEventListener("change", () => {
    nearLater();
    keepLater();
  });
  part("hand-on-list").addEventListener("beforetoggle", layDocuments);
  on("told-save", () => {
    part("hand-on-list").hidePopover();
    saveTold();
  });
  on("gauge-open", () => void openGauge());
  on("gauge-save", () => void saveGauge());
  on("gauge-keep", () => void keepGauge());
  on("gauge-replace", () => void keepGauge(true));
  on("gauge-leave", leaveGauge);
  part("wishes").addEventListener("input", layGauge);
  part("alike").addEventListener("toggle", alikeLater);
  part("below").addEventListener("input", alikeLater);
  document.querySelector(".drawer-more")?.addEventListener("change", keepLater);
  on("photo-told", saveSeen);
  document.addEventListener("shown", nearLater);
  part("beside").addEventListener("toggle", besideLater);
  // What the kit is reckoned for holds for the numbers beside the mat too.
  part("hand-on-how").addEventListener("change", (event) => {
    if (event.target instanceof HTMLInputElement && KIT.includes(event.target.dataset.option ?? "")) factsLater();
  });
  layKeys();
  on("keys-open", () => unfold("keys"));
  on("keys-close", () => shut("keys"));
  const slider = get("card-width", HTMLInputElement);
  const layCard = () => {
    part("card").style.width = `${slider.value}px`;
    part("card").style.height = `${(Number(slider.value) * CARD.height) / CARD.width}px`;
  };
  on("measure-open", () => {
    slider.value = String(scale().pixels * CARD.width);
    layCard();
    unfold("measure");
  });
  slider.addEventListener("input", layCard);
  on("measure-keep", () => {
    measured(Number(slider.value));
    shut("measure");
    layMeasure();
    trueLater();
    say("This screen is measured: the band beside the ring has its true size");
  });
  on("measure-leave", () => shut("measure"));
  on("weave-open", () => void heed(() => follow.open(textOf(), fileName())));
  on("weave-close", () => follow.close());
  for (const dialog of document.querySelectorAll("dialog")) {
    dialog.addEventListener("click", (event) => {
      if (event.target === dialog) dialog.close();
    });
    dialog.addEventListener("close", () => {
      if (dialog.id === "drawer") part("stage").focus({ preventScroll: true });
    });
  }
}

export function layMeasure() {
  part("measure-open").textContent = scale().measured ? "true size" : "true size?";
  part("measure-open").title = scale().measured
    ? "The band at true size; measure this screen again"
    : "Measure this screen once with a bank card, so that the size is true";
}

export function layOffers() {
  /** @type {string[]} */
  const offers = desk.begin.offers ?? [];
  /** @type {{kind: string, ending: string, options?: string[]}[]} */
  const known = desk.begin.kinds ?? [];
  const buttons = (/** @type {Record<string, string>} */ all) => Object.entries(all)
    .flatMap(([kind, words]) => {
      const found = known.find((each) => each.kind === kind);
      return found ? [{ kind, words, ending: found.ending.replace(/^.*\./, ""), takes: found.options ?? [] }] : [];
    })
    .map(({ kind, words, ending, takes }) => {
      const button = make("button", { type: "button", "data-kind": kind }, make("span", {}, words), make("span", { class: "ending" }, `.${ending}`));
      button.addEventListener("click", () => {
        part("hand-on-list").hidePopover();
        void handOn(kind, ending, takes);
      });
      return button;
    });
  part("hand-on-kinds").replaceChildren(...buttons(files.KINDS));
  part("other-kinds").replaceChildren(...buttons(files.DOCUMENTS));
  part("gauge-keep").hidden = !offers.includes("remember");
  part("alike").hidden = !offers.includes("alike");
  part("photo-how").hidden = !offers.includes("photo");
  part("weave-open").hidden = !offers.includes("follow");
  part("palette-photo").hidden = !offers.includes("photo");
  part("seen-from").hidden = !offers.includes("seen");
  for (const option of ["calm", "refine", "from-stock"]) part(`${option}-field`).hidden = !offers.includes(option);
  part("sizes").replaceChildren(...(desk.begin.sizes ?? []).map((/** @type {string} */ size) => make("option", { value: size })));
  part("bead").replaceChildren(
    ...(desk.begin.beads ?? []).map((/** @type {{name: string, length_mm: number, diameter_mm: number}} */ bead) =>
      make("option", { value: bead.name.replace(/\/0$/, "") }, `${bead.name.replace(/\/0$/, "")}/0`),
    ),
    make("option", { value: "own" }, "others …"),
  );
}
