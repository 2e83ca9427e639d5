// Builds source/ into built/: run by hand (`npm ci && npm run build`), its result committed, so that nothing that serves or
// tests the page needs npm. The same sources and lock give the same bytes.
import { build } from "esbuild";
import { createHash } from "node:crypto";
import { mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { basename } from "node:path";

const OUT = "built";
const FONT = "node_modules/@fontsource-variable/vollkorn";
rmSync(OUT, { recursive: true, force: true });
mkdirSync(OUT);

const { metafile } = await build({
  entryPoints: ["source/try.ts", "source/try.css"],
  bundle: true,
  splitting: true,
  format: "esm",
  target: "es2022",
  minify: true,
  outdir: OUT,
  entryNames: "[name]-[hash]",
  chunkNames: "[name]-[hash]",
  assetNames: "[name]-[hash]",
  loader: { ".woff2": "file" },
  legalComments: "none",
  metafile: true,
  logLevel: "info",
});

const named = Object.fromEntries(
  Object.entries(metafile.outputs)
    .filter(([, output]) => output.entryPoint)
    .map(([path, output]) => [basename(output.entryPoint), basename(path)]),
);
const solid = Object.entries(metafile.outputs).find(([, output]) => output.entryPoint?.endsWith("solid.ts"));
if (!solid) throw new Error("the solid is not in a file of its own");
// Fetched beside the first script, not after it.
const ahead = `/try/${basename(solid[0])}`;
const page = readFileSync("source/index.html", "utf8")
  .replace("{{style}}", `/try/${named["try.css"]}`)
  .replace("{{script}}", `/try/${named["try.ts"]}`)
  .replace("{{ahead}}", ahead)
  .replace("{{letters}}", `/try/${basename(Object.keys(metafile.outputs).find((path) => path.endsWith(".woff2")))}`)
  .replace("{{mark}}", mark());
writeFileSync(`${OUT}/index.html`, page);
licences();
writeFileSync("built_from.txt", `${builtFrom()}\n`);

function mark() {
  const content = readFileSync("source/mark.svg");
  const name = `mark-${createHash("sha256").update(content).digest("hex").slice(0, 8).toUpperCase()}.svg`;
  writeFileSync(`${OUT}/${name}`, content);
  return `/try/${name}`;
}

function licences() {
  const parts = [
    ["three.js", "node_modules/three/LICENSE"],
    ["Vollkorn, the letters of the page", `${FONT}/LICENSE`],
  ];
  const text = parts.map(([name, path]) => `${name}\n\n${readFileSync(path, "utf8").trim()}\n`).join("\n\n");
  writeFileSync(`${OUT}/licences.txt`, text);
}

/** What a test holds the result to: one digest of every source and of the lock. */
function builtFrom() {
  const sha = (content) => createHash("sha256").update(content).digest();
  const paths = ["build.mjs", "package-lock.json", ...readdirSync("source").map((name) => `source/${name}`)];
  const order = (path) => `service/page/${path}`;
  const digest = createHash("sha256");
  for (const path of paths.sort((a, b) => (order(a) < order(b) ? -1 : 1))) {
    digest.update(basename(path));
    digest.update(Buffer.from([0]));
    digest.update(sha(readFileSync(path)));
  }
  return digest.digest("hex");
}
