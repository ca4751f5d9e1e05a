// The sources of the desk's page: no import circles, short files, functions and lines.

import assert from "node:assert/strict";
import { readdirSync, readFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { describe, test } from "node:test";
import { fileURLToPath } from "node:url";

const repository = join(dirname(fileURLToPath(import.meta.url)), "../..");
const folder = join(repository, "src/desk/page");
const names = readdirSync(folder);
const follow = join(repository, "src/output/weave/page");
const LIMITS = { line: 100, file: 600, function: 60 };

/** @param {string} path */
function linesOf(path) {
  return readFileSync(path, "utf8").split("\n");
}

/** The scripts and styles of both pages, and these tests. */
function sources() {
  const here = join(repository, "tests/browser");
  const inFolder = (/** @type {string} */ path, /** @type {RegExp} */ kind) =>
    readdirSync(path).flatMap((name) => (kind.test(name) ? [join(path, name)] : []));
  return [
    ...inFolder(folder, /\.(js|css|html)$/),
    ...inFolder(follow, /\.(js|css)$/),
    ...inFolder(here, /\.js$/),
  ];
}

describe("the desk's page", () => {
  test("its modules do not import each other in a circle, not even for types", () => {
    /** @type {Map<string, string[]>} */
    const imports = new Map();
    for (const name of names.filter((each) => each.endsWith(".js"))) {
      const text = readFileSync(join(folder, name), "utf8");
      const found = [...text.matchAll(/(?:from |import\()"\.\/([\w-]+\.js)"/g)];
      imports.set(name, [...new Set(found.map((each) => each[1] ?? ""))]);
    }
    assert.ok(imports.size > 30 && (imports.get("main.js")?.length ?? 0) > 10);
    for (const [name, all] of imports) {
      for (const each of all) assert.ok(imports.has(each), `${name} imports ${each}`);
    }
    // Modules are taken away whose imports have all been taken away; a circle stays.
    for (let size = 0; size !== imports.size;) {
      size = imports.size;
      for (const [name, all] of imports) {
        if (!all.some((each) => imports.has(each))) imports.delete(name);
      }
    }
    assert.deepEqual([...imports.keys()], []);
  });

  test("every file of the folder is served, and no other", () => {
    const assets = readFileSync(join(repository, "src/desk/assets.rs"), "utf8");
    // The parts of the page are put into it.
    const served = [...assets.matchAll(/(?:file|part)!\("([^"]+)"/g)].map((found) => found[1]);
    assert.deepEqual([...served, "index.html"].sort(), [...names].sort());
  });
});

describe("the sources of both pages", () => {
  test("lines and files are short", () => {
    const long = sources().flatMap((path) => {
      const lines = linesOf(path);
      const wide = lines.flatMap((line, at) =>
        line.length > LIMITS.line ? [`${path}:${at + 1}: ${line.length} columns`] : [],
      );
      return lines.length > LIMITS.file + 1 ? [...wide, `${path}: ${lines.length} lines`] : wide;
    });
    assert.deepEqual(long, []);
  });

  test("functions are short", () => {
    const start =
      /^( *)(?:(?:export )?(?:async )?function\*? (\w+)|(?:async |get )?(\w+)\([^)]*\) \{$)/;
    const long = sources()
      .filter((path) => /\/page\/[\w-]+\.js$/.test(path))
      .flatMap((path) => {
        const lines = linesOf(path);
        return lines.flatMap((line, at) => {
          const found = start.exec(line);
          if (!found || /^ *(?:if|for|while|switch)\b/.test(line)) return [];
          const end = lines.findIndex((each, nth) => nth > at && each.startsWith(`${found[1]}}`));
          const length = end - at + 1;
          return length > LIMITS.function
            ? [`${path}:${at + 1}: ${found[2] ?? found[3]} has ${length} lines`]
            : [];
        });
      });
    assert.deepEqual(long, []);
  });
});
