/** Files and archives: gone on with where the line breaks, held against what was promised. */
import { Busy, Unreachable, WrongBytes } from "./errors.js";
import type { File } from "./records.js";
import { type Deadline, type Transport, Watch, lost, words } from "./transport.js";

/** A file's bytes. Throws WrongBytes unless length, SHA-256 and Repr-Digest are what the manifest says. */
export async function fetched(transport: Transport, file: File, deadline: Deadline): Promise<Uint8Array<ArrayBuffer>> {
  const content = new Uint8Array(file.bytes);
  let got = 0;
  for await (const piece of pieces(transport, file.href, deadline, (headers) => {
    const stated = reprDigest(headers);
    if (stated !== undefined && stated !== file.sha256) {
      throw new WrongBytes(`${file.name}: Repr-Digest is not the manifest's SHA-256`);
    }
  })) {
    if (got + piece.length > content.length) throw new WrongBytes(`${file.name} is longer than the service says`);
    content.set(piece, got);
    got += piece.length;
  }
  const digest = hexadecimal(new Uint8Array(await crypto.subtle.digest("SHA-256", content)));
  if (got !== file.bytes || digest !== file.sha256) {
    throw new WrongBytes(`${file.name} is not what the service says it is: its length or its SHA-256 differs`);
  }
  return content;
}

/** The bytes at an address, as they come. Where the line breaks it goes on by a range of the same version (If-Range). */
export async function* pieces(
  transport: Transport,
  href: string,
  deadline: Deadline,
  seen: (headers: Headers) => void = () => {},
): AsyncGenerator<Uint8Array<ArrayBuffer>, void, void> {
  let got = 0;
  let tag = "";
  for (let failures = 0; ; ) {
    const before = got;
    const watch = new Watch(deadline);
    try {
      const headers: Record<string, string> = got ? { Range: `bytes=${got}-`, "If-Range": tag } : {};
      const answer = await transport.open(href, watch, { headers });
      if (got && !(answer.headers.get("Content-Range") ?? "").startsWith(`bytes ${got}-`)) {
        await answer.body?.cancel();
        throw new WrongBytes(`${href} became another while it was read`);
      }
      tag = answer.headers.get("ETag") ?? "";
      seen(answer.headers);
      if (!answer.body) return;
      const reader = answer.body.getReader();
      try {
        for (let read = await reader.read(); !read.done; read = await reader.read()) {
          watch.end(); // how long the reader takes over it is no fault of the line
          got += read.value.length;
          yield read.value as Uint8Array<ArrayBuffer>;
          watch.heard();
        }
      } finally {
        await reader.cancel().catch(() => {}); // who stops reading halfway leaves no connection behind
      }
      return;
    } catch (reason) {
      if (reason instanceof Busy) {
        if (!(await deadline.comeBack(reason))) throw reason;
        continue;
      }
      if (!lost(reason, deadline)) throw reason;
      failures = got > before ? 1 : failures + 1; // what moves is not given up
      if ((got && !tag) || !(await deadline.backOff(failures))) {
        throw new Unreachable(`${href}: ${words(reason)}`, { cause: reason });
      }
    } finally {
      watch.end();
    }
  }
}

/** The SHA-256 that Repr-Digest states (RFC 9530), in hexadecimal; undefined where it states none. */
export function reprDigest(headers: Headers): string | undefined {
  const found = /(?:^|,)\s*sha-256\s*=\s*:([A-Za-z0-9+/=]*):/.exec(headers.get("Repr-Digest") ?? "");
  if (!found) return undefined;
  try {
    return hexadecimal(bytesOf(found[1] ?? ""));
  } catch {
    throw new WrongBytes("Repr-Digest cannot be read");
  }
}

/** Base64 to bytes. Throws DOMException for what is none. */
export function bytesOf(base64: string): Uint8Array<ArrayBuffer> {
  return Uint8Array.from(atob(base64), (one) => one.charCodeAt(0));
}

function hexadecimal(bytes: Uint8Array): string {
  return Array.from(bytes, (one) => one.toString(16).padStart(2, "0")).join("");
}
