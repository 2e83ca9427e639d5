// What the build is made of. `document`: the part of the OpenAPI document that types are made from, into build/.
// `stamp`: digests of that document and of src/, into dist/; test/built.test.mjs holds them against both.
import { createHash } from "node:crypto";
import { mkdirSync, readFileSync, readdirSync, writeFileSync } from "node:fs";

const HERE = new URL("./", import.meta.url);
const NOTES = new Set(["title", "description", "default", "example", "examples", "deprecated"]);
// Bounds that types do not tell: a changed bound leaves them as they are.
const BOUNDS = new Set(["minimum", "maximum", "minLength", "maxLength", "pattern", "format", "maxItems", "maxProperties"]);

/** The document's schemas; paths and answers are written by hand in src/client.ts. */
export function schemas() {
  const { openapi, info, components } = JSON.parse(readFileSync(new URL("../../openapi.json", HERE), "utf8"));
  return { openapi, info, paths: {}, components: { schemas: typed(components.schemas) } };
}

/**
 * Without conditions that types cannot tell (this or that is required), of which the generator makes `unknown`.
 * @param {any} value @returns {any}
 */
function typed(value) {
  if (Array.isArray(value)) return value.map(typed);
  if (value === null || typeof value !== "object") return value;
  const says = (/** @type {object} */ one) => "type" in one || "$ref" in one || "const" in one;
  const conditions = (/** @type {string} */ key) =>
    key === "not" || (["anyOf", "oneOf", "allOf"].includes(key) && !value[key].some(says));
  return Object.fromEntries(
    Object.entries(value)
      .filter(([key, one]) => typeof one !== "object" || !("properties" in value && conditions(key)))
      .map(([key, one]) => [key, typed(one)]),
  );
}

/**
 * What of a schema decides a type. `names`: whether the keys of this object are names and not keywords.
 * @param {any} value @returns {any}
 */
function shape(value, names = true) {
  if (Array.isArray(value)) return value.map((one) => shape(one, false));
  if (value === null || typeof value !== "object") return value;
  return Object.fromEntries(
    Object.keys(value)
      .sort()
      .filter((key) => names || !(NOTES.has(key) || BOUNDS.has(key) || key.startsWith("x-")))
      .map((key) => [key, shape(value[key], key === "properties" || key === "patternProperties")]),
  );
}

/** Digests of what dist/ and types/ are built from. */
export function stamp() {
  const sources = readdirSync(new URL("src/", HERE)).sort();
  const source = createHash("sha256");
  for (const name of [...sources.map((one) => `src/${one}`), "tsconfig.json", "package-lock.json"]) {
    source.update(`${name}\n`).update(readFileSync(new URL(name, HERE)));
  }
  const told = JSON.stringify(shape(schemas().components.schemas));
  return { schemas: createHash("sha256").update(told).digest("hex"), source: source.digest("hex") };
}

const written = JSON.stringify(process.argv[2] === "document" ? schemas() : stamp(), null, 2) + "\n";
if (process.argv[2] === "document") {
  mkdirSync(new URL("build/", HERE), { recursive: true });
  writeFileSync(new URL("build/document.json", HERE), written);
} else if (process.argv[2] === "stamp") {
  writeFileSync(new URL("dist/built_from.json", HERE), written);
}
