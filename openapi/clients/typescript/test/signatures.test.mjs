// Signed calls and others, against the worked example that the Standard Webhooks libraries share; and merge patches.
import assert from "node:assert/strict";
import { createHmac } from "node:crypto";
import { test } from "node:test";
import { NotSigned, patched, pointers, requireSigned, verify } from "../dist/index.js";

const SECRET = "whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw";
const OTHER = "whsec_C2FVsBQIhrscChlQIMV+b5sSYspob7oD";
const BODY = '{"test": 2432232314}';
const SENT = 1614265330;
const HEADERS = {
  "Webhook-Id": "msg_p5jXN8AQM9LWM0D4loKWxJek",
  "Webhook-Timestamp": String(SENT),
  "Webhook-Signature": "v1,g0hM9SsE+OTPJTGt/tmIKtSyZlE3uFJELVlNIOLJ1OE=",
};

test("the published example holds, however headers and body come", async () => {
  for (const headers of [HEADERS, new Headers(HEADERS)]) {
    for (const body of [BODY, new TextEncoder().encode(BODY)]) {
      assert.equal(await requireSigned(headers, body, [OTHER, SECRET], { now: SENT + 1 }), HEADERS["Webhook-Id"]);
    }
  }
});

test("what is not signed is refused", async () => {
  const now = SENT;
  for (const [changed, body, terms] of /** @type {[Record<string, string>, string, { now: number }][]} */ ([
    [{}, BODY + " ", { now }],
    [{}, BODY, { now: SENT + 301 }],
    [{}, BODY, { now: SENT - 301 }],
    [{ "Webhook-Id": "msg_2" }, BODY, { now }],
    [{ "Webhook-Timestamp": "soon" }, BODY, { now }],
    [{ "Webhook-Signature": "" }, BODY, { now }],
    [{ "Webhook-Signature": "v1," }, BODY, { now }],
    [{ "Webhook-Signature": "v1,\u00e9" }, BODY, { now }],
    [{ "Webhook-Signature": HEADERS["Webhook-Signature"].replace("v1", "v2") }, BODY, { now }],
  ])) {
    await assert.rejects(requireSigned({ ...HEADERS, ...changed }, body, SECRET, terms), NotSigned);
  }
  await assert.rejects(requireSigned(HEADERS, BODY, [OTHER], { now }), NotSigned);
  await assert.rejects(verify(HEADERS, BODY, SECRET, { now }), NotSigned);
  await assert.rejects(requireSigned(HEADERS, BODY, "whsec_", { now }), TypeError);
});

test("an event is read while its secret changes", async () => {
  const body = JSON.stringify({ type: "bait.failed", timestamp: "2026-03-04T05:06:07Z", data: { id: "ab", status: "failed" } });
  const at = String(Math.floor(Date.now() / 1000));
  const signed = [OTHER, SECRET].map((secret) =>
    "v1," + createHmac("sha256", Buffer.from(secret.slice(6), "base64")).update(`m.${at}.${body}`).digest("base64"));
  const headers = { "webhook-id": "m", "webhook-timestamp": at, "webhook-signature": ["v1a,AAAA", ...signed].join(" ") };
  for (const secrets of [SECRET, OTHER, [SECRET, OTHER]]) {
    const told = await verify(headers, body, secrets);
    assert.deepEqual([told.message, told.event.type, told.event.data.id], ["m", "bait.failed", "ab"]);
  }
});

test("a merge patch, by RFC 7396's appendix A as far as target and patch are objects", () => {
  for (const [target, patch, result] of /** @type {[object, object, object][]} */ ([
    [{ a: "b" }, { a: "c" }, { a: "c" }],
    [{ a: "b" }, { b: "c" }, { a: "b", b: "c" }],
    [{ a: "b", b: "c" }, { a: null }, { b: "c" }],
    [{ a: ["b"] }, { a: "c" }, { a: "c" }],
    [{ a: { b: "c" } }, { a: { b: "d", c: null } }, { a: { b: "d" } }],
    [{ a: [{ b: "c" }] }, { a: [1] }, { a: [1] }],
    [{ e: null }, { a: 1 }, { e: null, a: 1 }],
    [{}, { a: { bb: { ccc: null } } }, { a: { bb: {} } }],
  ])) {
    const before = structuredClone(target);
    assert.deepEqual(patched(target, patch), result);
    assert.deepEqual(target, before);
  }
  const places = pointers({ params: { bead_count: 18, "a/b~": null }, outputs: ["stl"] });
  assert.deepEqual(places, [["/params/bead_count", 18], ["/params/a~1b~0", null], ["/outputs", ["stl"]]]);
});
