// Work that an earlier version of the page stored in the browser.

import assert from "node:assert/strict";
import { describe, test } from "node:test";
import { upgradeWork } from "../../src/desk/page/migration.js";
import { chart, colour } from "./desk-random.js";

describe("stored work", () => {
  test("of the first version of the page is read as this version stores it", () => {
    const band = chart(2);
    const commands = [
      { kind: "turn", round: 1, across: -2 },
      { kind: "rows", at: 3, pairs: 1, into: true, beads: [1, 2] },
      { kind: "all", parts: [{ kind: "words", from: {}, to: { title: "tide" } }] },
      { kind: "whole", from: band, to: band },
    ];
    const first = {
      chart: band,
      done: commands.map((command, nth) => ({ command, said: `edit ${nth}` })),
      undone: [{ command: { kind: "beads", at: [1], from: [0], to: [1] }, said: "1 bead" }],
      origin: "",
      saved: 2,
      file: "tide.json",
      out: [colour(1)],
      hand: colour(2),
      pinned: ["quay-1"],
      banned: ["quay-2"],
      wished: { columns: "9", sits: "own", seat: "0.9,0,0", turn: "90", refine: true },
      crop: null,
      palette: null,
      axes: ["columns"],
      notes: [],
      picture: true,
      brought: true,
    };
    const now = upgradeWork(first);
    assert.deepEqual(
      now.done.map((/** @type {any} */ entry) => [entry.label, entry.edit.kind]),
      [
        ["edit 0", "shift"],
        ["edit 1", "rows"],
        ["edit 2", "group"],
        ["edit 3", "chart"],
      ],
    );
    assert.deepEqual(now.done[0].edit, { kind: "shift", up: 1, right: -2 });
    assert.equal(now.done[1].edit.change, "insert");
    assert.equal(now.done[2].edit.parts[0].kind, "text");
    assert.equal(now.undone[0].label, "1 bead");
    assert.deepEqual(now.options, {
      columns: "9",
      position: "custom",
      "position-custom": "0.9,0,0",
      rotate: "90",
      refine: true,
      match: "nearest",
      mirror: "none",
    });
    const { savedAfter, colour: current, keptColours, mirrors, isSourcePicture } = now;
    assert.deepEqual(
      { savedAfter, current, keptColours, mirrors, isSourcePicture },
      {
        savedAfter: 2,
        current: colour(2),
        keptColours: ["quay-1"],
        mirrors: ["columns"],
        isSourcePicture: true,
      },
    );
    assert.equal(upgradeWork(now), now);
  });

  test("of the second version is matched bead by bead, as its charts were", () => {
    const options = { columns: "9", place: "round", colours: "8", crisp: "0", calm: "0" };
    const mirrored = (/** @type {boolean} */ columns, /** @type {boolean} */ rows) => {
      const fields = { ...options, "mirror-columns": columns, "mirror-rows": rows };
      return upgradeWork({ version: 2, picture: true, options: fields }).options;
    };
    assert.deepEqual(mirrored(false, true), { ...options, match: "nearest", mirror: "rows" });
    assert.equal(mirrored(true, false).mirror, "columns");
    assert.equal(mirrored(true, true).mirror, "both");
    // Nobody has chosen how a picture is charted that was not there.
    const plain = upgradeWork({ version: 2, picture: false, options });
    assert.deepEqual(plain, { version: 3, picture: false, options: { columns: "9" } });
  });
});
