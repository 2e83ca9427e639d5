import type { File } from "./records.js";
import { type Deadline, type Transport } from "./transport.js";
/** A file's bytes. Throws WrongBytes unless length, SHA-256 and Repr-Digest are what the manifest says. */
export declare function fetched(transport: Transport, file: File, deadline: Deadline): Promise<Uint8Array<ArrayBuffer>>;
/** The bytes at an address, as they come. Where the line breaks it goes on by a range of the same version (If-Range). */
export declare function pieces(transport: Transport, href: string, deadline: Deadline, seen?: (headers: Headers) => void): AsyncGenerator<Uint8Array<ArrayBuffer>, void, void>;
/** The SHA-256 that Repr-Digest states (RFC 9530), in hexadecimal; undefined where it states none. */
export declare function reprDigest(headers: Headers): string | undefined;
/** Base64 to bytes. Throws DOMException for what is none. */
export declare function bytesOf(base64: string): Uint8Array<ArrayBuffer>;
