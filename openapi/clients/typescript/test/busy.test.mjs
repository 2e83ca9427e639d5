// Against a service that is busy, slow or wrong: the client comes back when told, and believes nothing.
import assert from "node:assert/strict";
import { createHash } from "node:crypto";
import { test } from "node:test";
import {
  Busy, Client, EndedBadly, NotAllowed, Refused, ServiceFailed, StillUnderWay, Unreachable, WrongBytes,
} from "../dist/index.js";
import { standIn } from "./stand_in.mjs";

/** @typedef {import("./stand_in.mjs").Scripted} Scripted */
const PLACE = "/v1/baits/there";
const WHERE = `${PLACE}/files/bait.stl`;
const CONTENT = Buffer.from("what a mesh would be");
const SHA256 = createHash("sha256").update(CONTENT).digest("hex");
const DIGEST = `sha-256=:${Buffer.from(SHA256, "hex").toString("base64")}:`;
const FILE = { name: "bait.stl", output: "stl", media_type: "model/stl", bytes: CONTENT.length, sha256: SHA256, href: WHERE };
/** @type {import("../dist/index.js").Request} */
const ASKED = { style: "beaded_worm" };

/** @returns {Scripted} A bait, with the headers that a POST of it has. */
const told = (/** @type {string} */ status, code = 200, headers = {}) => ({
  status: code,
  body: { id: "ab", status, checks: [], files: [], links: { self: PLACE }, problem: status === "failed" ? { detail: "The solid took too long." } : undefined },
  headers: { Location: PLACE, ...headers },
});
/** @returns {Scripted} */
const problem = (/** @type {number} */ status, headers = {}, type = "busy") => ({
  status, body: { type: `urn:pourwright:problem:${type}`, title: "No", detail: "Not now." }, headers,
});

test("a busy service is asked again when it says", async () => {
  const script = {
    "/v1/baits": [problem(503, { "Retry-After": "1" }), told("accepted", 202, { "Retry-After": "1" })],
    [PLACE]: [told("running", 200, { "Retry-After": "1" }), told("running", 200, { "Preference-Applied": "wait=2" }), told("successful")],
  };
  await standIn(script, async (url, asked) => {
    const bait = await new Client(url, { key: "k" }).build(ASKED, { withinS: 60 });
    assert.equal(bait.status, "successful");
    assert.deepEqual(asked.map((one) => one.method), ["POST", "POST", "GET", "GET", "GET"]);
    assert.ok(asked.every((one) => one.headers.authorization === "Bearer k" && one.headers.prefer === "wait=25"));
    for (const after of [1, 2, 3]) assert.ok((asked[after]?.at ?? 0) - (asked[after - 1]?.at ?? 0) >= 990);
  });
});

test("patience ends, or the caller's own, and nothing is lost", async () => {
  const script = { "/v1/baits": [told("accepted", 202)], [PLACE]: [told("running", 200, { "Retry-After": "1" })], "/v1/estimates": [problem(503, { "Retry-After": "30" })] };
  await standIn(script, async (url, asked) => {
    const client = new Client(url, { patienceS: 1.5 });
    await assert.rejects(client.build(ASKED), (error) => error instanceof StillUnderWay && error.id === "ab");
    await assert.rejects(client.estimate(ASKED), (error) => error instanceof Busy && error.retryAfterS === 30);
    const before = asked.length;
    const stopped = client.build(ASKED, { withinS: 60, signal: AbortSignal.timeout(200) });
    await assert.rejects(stopped, { name: "TimeoutError" });
    assert.ok(asked.length - before <= 2);
  });
});

test("a lost answer is asked for again where nothing is done twice", async () => {
  const lost = { status: 200, body: { id: "ab", status: "successful" }, cut: 5 };
  const script = {
    "/v1/fits": [lost, problem(409, { "Retry-After": "1" }, "unanswered"), problem(422)],
    "/v1/webhooks/till": [lost],
  };
  await standIn(script, async (url, asked) => {
    const client = new Client(url);
    await assert.rejects(client.fit({ maker: { fish: "bass" } }), Refused);
    const keys = new Set(asked.map((one) => one.headers["idempotency-key"]));
    assert.ok(asked.length === 3 && keys.size === 1 && /^"[^"]+"$/.test(String([...keys][0])));
    await assert.rejects(client.webhooks.keep("till", { address: "https://hooks.alderbank.example/" }), Unreachable);
    assert.equal(asked.length, 4);
  });
  await assert.rejects(new Client("http://127.0.0.1:9", { patienceS: 0.3 }).styles(), Unreachable);
});

test("what is no answer of ours is told as such", async () => {
  /** @type {[Scripted, new (...of: any[]) => Error][]} */
  const answers = [
    [{ status: 502, body: Buffer.from("<h1>Bad gateway</h1>") }, ServiceFailed],
    [{ status: 200, body: Buffer.from("<h1>Welcome</h1>") }, ServiceFailed],
    [{ status: 200, body: { hello: 1 } }, ServiceFailed],
    [problem(401), NotAllowed],
    [{ status: 302, headers: { Location: "http://127.0.0.1:9/" } }, Refused],
  ];
  for (const [answer, kind] of answers) {
    await standIn({ "/v1/estimates": [answer] }, async (url, asked) => {
      await assert.rejects(new Client(url).estimate(ASKED), kind);
      assert.equal(asked.length, 1);
    });
  }
  await standIn({ "/v1/baits": [told("failed", 201)] }, async (url) => {
    await assert.rejects(new Client(url).build(ASKED), (error) => error instanceof EndedBadly && /too long/.test(error.message));
  });
});

test("a file goes on where the line broke", async () => {
  const rest = { status: 206, body: CONTENT.subarray(7), headers: { ETag: '"a"', "Content-Range": `bytes 7-19/20` } };
  const script = { [WHERE]: [{ status: 200, body: CONTENT, headers: { ETag: '"a"', "Repr-Digest": DIGEST }, cut: 7 }, rest] };
  await standIn(script, async (url, asked) => {
    assert.deepEqual(Buffer.from(await new Client(url).fetchFile(FILE)), CONTENT);
    assert.deepEqual([asked[1]?.headers.range, asked[1]?.headers["if-range"]], ["bytes=7-", '"a"']);
  });
});

test("wrong bytes are no file, and the key goes nowhere else", async () => {
  const other = Buffer.from("what a mesh would bE");
  /** @type {Scripted[][]} */
  const scripts = [
    [{ status: 200, body: other }],
    [{ status: 200, body: CONTENT.subarray(1) }],
    [{ status: 200, body: Buffer.concat([CONTENT, CONTENT]) }],
    [{ status: 200, body: CONTENT, headers: { "Repr-Digest": "sha-256=:AAAA:" } }],
    [{ status: 200, body: CONTENT, headers: { "Repr-Digest": "sha-256=:A:" } }],
    [{ status: 200, body: CONTENT, headers: { ETag: '"a"' }, cut: 7 }, { status: 200, body: CONTENT, headers: { ETag: '"b"' } }],
  ];
  for (const answers of scripts) {
    await standIn({ [WHERE]: answers }, async (url) => {
      await assert.rejects(new Client(url).fetchFile(FILE), WrongBytes);
    });
  }
  const client = new Client("http://127.0.0.1:9", { key: "k" });
  await assert.rejects(client.fetchFile({ ...FILE, href: "http://127.0.0.1:8/bait.stl" }), /leads away/);
});
