// The TypeScript types of what the desk answers, made of the schema that the program prints.
// `npm run schema-types` writes them anew.

import { execFileSync } from "node:child_process";
import { readFileSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { compile } from "json-schema-to-typescript";

/** @typedef {Record<string, any>} Schema */

const repository = join(dirname(fileURLToPath(import.meta.url)), "../..");
const program = process.env.UPBEAD ?? join(repository, "target/debug/upbead");
const file = join(repository, "src/desk/answers.d.ts");
const HEAD =
  "// Made of `upbead schema --of desk` by `npm run schema-types` in tests/browser; do not edit.";
/** What the library says of where a type is used. */
const USE = " *\\* This interface was referenced by .*\n *\\* via the `.*\n";
const USES = new RegExp(`^ */\\*\\*\n${USE} *\\*/\n|^ *\\*\n${USE}`, "gm");

/** The declarations as the schema gives them. */
export async function declarations() {
  const text = execFileSync(program, ["schema", "--of", "desk"], { encoding: "utf8" });
  const { title, ...schema } = plain(JSON.parse(text));
  const types = await compile(schema, title, {
    bannerComment: HEAD,
    // The page reads no field that the schema does not name.
    additionalProperties: false,
    style: { printWidth: 100 },
  });
  return types.replace(USES, "");
}

/** The declarations that the page uses. */
export function committed() {
  return readFileSync(file, "utf8");
}

/**
 * A schema in the form that the library takes best, all the way down.
 * @param {any} part
 * @returns {any}
 */
function plain(part) {
  if (Array.isArray(part)) return part.map(plain);
  if (part === null || typeof part !== "object") return part;
  const parts = Object.fromEntries(Object.entries(part).map(([name, each]) => [name, plain(each)]));
  return namedOnce(neverNull(parts));
}

/**
 * A description beside `$ref` would make another type of the same fields.
 * @param {Schema} schema
 */
function namedOnce({ $ref, ...rest }) {
  return $ref === undefined ? rest : { ...rest, allOf: [{ $ref }] };
}

/**
 * The program leaves a field out where it has nothing to say; then it is never null.
 * @param {Schema} schema
 */
function neverNull(schema) {
  const { properties, required = [] } = schema;
  if (schema.type !== "object" || !properties) return schema;
  const fields = Object.entries(properties).map(([name, field]) => [
    name,
    required.includes(name) ? field : withoutNull(field),
  ]);
  return { ...schema, properties: Object.fromEntries(fields) };
}

/** @param {Schema} field */
function withoutNull({ type, anyOf, ...rest }) {
  return {
    ...rest,
    ...(type && { type: [type].flat().filter((each) => each !== "null") }),
    ...(anyOf && { anyOf: anyOf.filter((/** @type {Schema} */ each) => each.type !== "null") }),
  };
}

if (process.argv[1] === fileURLToPath(import.meta.url)) writeFileSync(file, await declarations());
