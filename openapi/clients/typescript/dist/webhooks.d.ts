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
export declare function verify(headers: HeadersLike, body: Uint8Array | string, secrets: string | Iterable<string>, terms?: Terms): Promise<Told>;
/** The `webhook-id` of a call that one of the secrets signed not long ago, whatever is in it. Throws NotSigned. */
export declare function requireSigned(headers: HeadersLike, body: Uint8Array | string, secrets: string | Iterable<string>, { toleranceS, now }?: Terms): Promise<string>;
export {};
