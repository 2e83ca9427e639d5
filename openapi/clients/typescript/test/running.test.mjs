// Against the running service that POURWRIGHT_URL names; POURWRIGHT_TILL is an origin that webhooks may lead to.
import assert from "node:assert/strict";
import { createHash } from "node:crypto";
import { mkdtemp, readFile, writeFile } from "node:fs/promises";
import { createServer } from "node:http";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { test } from "node:test";
import { Client, Clash, NotThere, Refused, failedChecks, patched, verify } from "../dist/index.js";

const pourwright = new Client(process.env.POURWRIGHT_URL ?? "http://127.0.0.1:8080");

/** @type {import("../dist/index.js").Request} */
const WEAK = { style: "jointed_worm", params: { core_diameter: 2 }, outputs: [] };

/** @returns {import("../dist/index.js").Request} Each test its own bait: equal requests are one. */
const bare = (/** @type {number} */ beads) => ({ style: "beaded_worm", params: { length: "5 in", bead_count: beads }, outputs: [] });

test("an estimate and its remedy", async () => {
  const [failed] = failedChecks(await pourwright.estimate(WEAK));
  assert.equal(failed?.check, "joint_pull");
  const mended = await pourwright.estimate(patched(WEAK, failed.remedies[0]?.patch ?? {}));
  assert.deepEqual(failedChecks(mended), []);
});

test("a bait is built, each file is what its digest says, and a link opens one", async () => {
  const bait = await pourwright.build({ ...bare(31), outputs: ["stl"], label: "Alderbank 5" });
  assert.equal(bait.status, "successful");
  assert.equal(bait.label, "Alderbank 5");
  for (const file of bait.files) {
    const content = await pourwright.fetchFile(file);
    assert.equal(createHash("sha256").update(content).digest("hex"), file.sha256);
  }
  const stl = bait.files.find((file) => file.name === "bait.stl");
  assert.ok(stl);
  const opened = await fetch((await pourwright.link(stl, bait, 60)).href);
  assert.equal(createHash("sha256").update(new Uint8Array(await opened.arrayBuffer())).digest("hex"), stl.sha256);
  assert.equal((await pourwright.wait(bait)).id, bait.id);
  await pourwright.remove(bait);
  await assert.rejects(pourwright.bait(bait.id), NotThere);
});

test("a refusal carries every fault by its pointer", async () => {
  const asked = /** @type {any} */ ({ style: "beaded_worm", params: { bead_count: 0, taper: 9 }, colour: "red" });
  await assert.rejects(pourwright.build(asked), (error) => {
    assert.ok(error instanceof Refused);
    assert.equal(error.kind, "invalid-request");
    assert.deepEqual(error.faults.map((fault) => fault.pointer).sort(), ["/colour", "/params/bead_count", "/params/taper"]);
    return true;
  });
});

test("a fit whose best is ordered as it stands", async () => {
  /** @type {import("../dist/index.js").FitRequest} */
  const asked = { style: "beaded_worm", free: { bead_count: {} }, goal: "greatest_flexibility", evaluations: 20 };
  const found = await pourwright.fit(asked);
  assert.deepEqual((await pourwright.wait(await pourwright.search(asked))).answer?.best, found.answer?.best);
  const best = found.answer?.best;
  assert.ok(best);
  const ordered = /** @type {import("../dist/index.js").Request} */ (best.request);
  assert.deepEqual(failedChecks(await pourwright.estimate(ordered)), []);
  assert.equal((await pourwright.found(found.id)).status, "successful");
});

test("a batch is told item by item and kept in one file", async () => {
  const requests = [bare(32), bare(0), bare(33)];
  const idempotencyKey = crypto.randomUUID();
  const batch = await pourwright.batches.submit(requests, { idempotencyKey });
  const told = [];
  for await (const item of pourwright.batches.results(batch)) told.push(item);
  assert.deepEqual(told.map((item) => item.index).sort(), [0, 1, 2]);
  assert.equal(told.find((item) => item.index === 1)?.problem?.errors?.[0]?.pointer, "/1/params/bead_count");
  assert.equal((await pourwright.batches.submit(requests, { idempotencyKey })).id, batch.id);
  const ended = await pourwright.batches.finish(batch);
  const path = join(await mkdtemp(join(tmpdir(), "pourwright-")), "range.zip");
  await writeFile(path, pourwright.batches.archive(ended));
  const zip = await readFile(path);
  // The end record of a ZIP file (APPNOTE 4.3.16): its signature stands 22 bytes before the end where there is no comment.
  assert.equal(zip.readUInt32LE(zip.length - 22), 0x06054b50);
  await pourwright.batches.remove(ended);
  await assert.rejects(pourwright.batches.get(ended.id), NotThere);
});

test("what is kept by name", async () => {
  const strength = { low: 1.3, typical: 1.6, high: 1.9, source: "six bars" };
  assert.equal((await pourwright.plastics.keep("in_node", { grade: "soft", properties: { strength } })).name, "in_node");
  assert.ok((await pourwright.plastics.list()).some((one) => one.name === "in_node"));
  await pourwright.plastics.forget("in_node");
  await assert.rejects(pourwright.plastics.keep("soft", { grade: "soft", properties: { strength } }), Clash);
  assert.ok((await pourwright.styles()).length > 10);
  assert.ok((await pourwright.style("craw")).params_schema);
});

test("a house style", async () => {
  /** @type {import("../dist/index.js").HouseStyleDefinition} */
  const ours = { base: "jointed_worm", label: "Alderbank", fixed: { core_diameter: "5.5 mm" } };
  const kept = await pourwright.houseStyles.keep("node_house", ours);
  assert.deepEqual([kept.name, kept.base, kept.title], ["node_house", "jointed_worm", "Alderbank"]);
  assert.deepEqual(await pourwright.houseStyles.get("node_house"), kept);
  const names = (await pourwright.houseStyles.list()).map((one) => one.name);
  assert.ok(names.includes("node_house") && !names.includes("jointed_worm"));
  /** @type {import("../dist/index.js").Request} */
  const asked = { style: "node_house", params: { core_diameter: 5 } };
  await assert.rejects(pourwright.estimate(asked), (error) => error instanceof Refused && error.faults[0]?.pointer === "/params/core_diameter");
  assert.equal((await pourwright.estimate({ style: "node_house" })).status, "successful");
  await pourwright.houseStyles.forget("node_house");
  await assert.rejects(pourwright.houseStyles.get("node_house"), NotThere);
  await assert.rejects(pourwright.houseStyles.keep("craw", ours), Clash);
});

test("a webhook of the service's is verified", { skip: !process.env.POURWRIGHT_TILL, timeout: 60_000 }, async () => {
  /** @type {(told: [import("node:http").IncomingHttpHeaders, string]) => void} */
  let arrived = () => {};
  const arrival = new Promise((resolve) => (arrived = resolve));
  const till = createServer(async (request, response) => {
    let body = "";
    for await (const piece of request) body += piece;
    response.writeHead(204).end();
    arrived([request.headers, body]);
  });
  const { hostname, port } = new URL(process.env.POURWRIGHT_TILL ?? "");
  await new Promise((resolve) => till.listen(Number(port), hostname, () => resolve(undefined)));
  try {
    const { secret } = await pourwright.webhooks.keep("node", { address: `http://${hostname}:${port}/`, events: ["bait.finished"] });
    const bait = await pourwright.build(bare(34));
    const [headers, body] = await arrival;
    const { event } = await verify(headers, body, secret ?? "");
    assert.deepEqual([event.type, event.data.id], ["bait.finished", bait.id]);
  } finally {
    till.close();
    till.closeAllConnections();
    await pourwright.webhooks.forget("node");
  }
});
