// types/ and dist/ are built from the document and the sources as they stand: else run build.sh.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { stamp } from "../build.mjs";

test("what is committed is what build.sh makes", () => {
  const built = JSON.parse(readFileSync(new URL("../dist/built_from.json", import.meta.url), "utf8"));
  assert.deepEqual(built, stamp(), "openapi/openapi.json, src/ or the lock has changed: run openapi/clients/typescript/build.sh");
});
