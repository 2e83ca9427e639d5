/** Whether a webhook's call is the service's: the Standard Webhooks specification, symmetric signatures (`v1`). */
import { NotSigned } from "./errors.js";
import { bytesOf } from "./files.js";
import type { Event } from "./records.js";

export interface Terms {
  /** How far a clock may be off, or the call be late, in seconds; 300 unless told. */
  toleranceS?: number;
  /** Seconds since 1970, in place of the clock's. */
  now?: number;
}

/** The event, and the `webhook-id`, which is the same however often it is sent: do once what you do for it. */
export interface Told {
  message: string;
  event: Event;
}

type HeadersLike = Headers | Record<string, string | string[] | undefined>;

/**
 * The event of a call, if one of the secrets signed it not long ago. Throws NotSigned. `body`: its bytes, or its text, as
 * they came; `secrets`: one `whsec_...`, or several while they change.
 */
export async function verify(
  headers: HeadersLike,
  body: Uint8Array | string,
  secrets: string | Iterable<string>,
  terms: Terms = {},
): Promise<Told> {
  const message = await requireSigned(headers, body, secrets, terms);
  try {
    const event = JSON.parse(typeof body === "string" ? body : new TextDecoder().decode(body)) as Event;
    if (typeof event.type !== "string" || typeof event.data.id !== "string") throw new TypeError("members are missing");
    return { message, event };
  } catch (reason) {
    throw new NotSigned("it is signed and yet no event of ours", { cause: reason });
  }
}

/** The `webhook-id` of a call that one of the secrets signed not long ago, whatever is in it. Throws NotSigned. */
export async function requireSigned(
  headers: HeadersLike,
  body: Uint8Array | string,
  secrets: string | Iterable<string>,
  { toleranceS = 300, now = Date.now() / 1000 }: Terms = {},
): Promise<string> {
  const message = header(headers, "webhook-id");
  const sentAt = header(headers, "webhook-timestamp");
  if (!message || !/^\d{1,15}$/.test(sentAt)) {
    throw new NotSigned("webhook-id and webhook-timestamp are not there, or cannot be read");
  }
  if (Math.abs(now - Number(sentAt)) > toleranceS) throw new NotSigned("it was sent too long ago, or a clock is off");
  const given = header(headers, "webhook-signature")
    .split(" ")
    .filter((part) => part.startsWith("v1,"))
    .map((part) => signatureOf(part.slice(3)));
  const begins = new TextEncoder().encode(`${message}.${sentAt}.`);
  const content = typeof body === "string" ? new TextEncoder().encode(body) : body;
  const signed = new Uint8Array(begins.length + content.length);
  signed.set(begins);
  signed.set(content, begins.length);
  let good = false;
  for (const secret of typeof secrets === "string" ? [secrets] : secrets) {
    const key = await keyOf(secret);
    // All of them, and each compared by WebCrypto itself: how long it takes tells nothing.
    for (const one of given) good = (await crypto.subtle.verify("HMAC", key, one, signed)) || good;
  }
  if (!good) throw new NotSigned("none of the secrets signed it");
  return message;
}

function header(headers: HeadersLike, name: string): string {
  if (headers instanceof Headers) return headers.get(name) ?? "";
  const found = Object.entries(headers).find(([key]) => key.toLowerCase() === name)?.[1];
  return (Array.isArray(found) ? found.join(" ") : found) ?? "";
}

function signatureOf(base64: string): Uint8Array<ArrayBuffer> {
  try {
    return bytesOf(base64);
  } catch {
    return new Uint8Array(0);
  }
}

/** Throws TypeError for what is no secret: that is our own fault and not the caller's. */
async function keyOf(secret: string): Promise<CryptoKey> {
  const key = signatureOf(secret.replace(/^whsec_/, ""));
  if (!key.length) throw new TypeError("a secret is whsec_ and base64");
  return crypto.subtle.importKey("raw", key, { name: "HMAC", hash: "SHA-256" }, false, ["verify"]);
}
