// The page's types of the desk's answers are those of the program that answers.

import assert from "node:assert/strict";
import { test } from "node:test";
import { committed, declarations } from "./schema-types.js";

test("the types of the desk's answers are made of the schema of this program", async () => {
  const made = await declarations();
  assert.match(made, /export interface Answers \{/);
  assert.equal(committed(), made, "run npm run schema-types in tests/browser");
});
