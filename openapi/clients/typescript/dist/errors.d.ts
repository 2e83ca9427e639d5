/** What a call may throw: one tree, PourwrightError at its root. */
import type { Bait, Fault, Fit, Problem } from "./records.js";
export declare class PourwrightError extends Error {
    constructor(message: string, options?: ErrorOptions);
}
/** No answer came, however often it was tried. */
export declare class Unreachable extends PourwrightError {
}
/** The service said no; `problem` is its problem document (RFC 9457). */
export declare class Answered extends PourwrightError {
    readonly status: number;
    readonly problem: Problem;
    constructor(status: number, problem: Problem);
    /** The last part of the problem's type, for programs: `invalid-request`, `infeasible`, ... */
    get kind(): string;
    /** Every fault of the request, by its JSON pointer (RFC 6901). */
    get faults(): Fault[];
}
/** The request is not one that can be done: 400, 413, 415, 422, and whatever else is not 2xx. */
export declare class Refused extends Answered {
}
/** 401 or 403: no key, a wrong one, or one without the scope. */
export declare class NotAllowed extends Answered {
}
/** 404 or 410: unknown, another caller's, or cleared away. */
export declare class NotThere extends Answered {
}
/** 409 or 412: it does not go with how things stand at present. */
export declare class Clash extends Answered {
}
/** Any other 5xx, or an answer that is none of Pourwright's. */
export declare class ServiceFailed extends Answered {
}
/** 429 or 503 for longer than patience lasted, or 409 of a key whose first call is not answered yet. */
export declare class Busy extends Answered {
    readonly retryAfterS: number | undefined;
    constructor(status: number, problem: Problem, retryAfterS: number | undefined);
}
/** A bait or a fit that `failed` or was `dismissed`. */
export declare class EndedBadly extends PourwrightError {
    readonly record: Bait | Fit;
    constructor(record: Bait | Fit);
}
/** Patience ended before the work did. `id` is good for asking again: nothing is lost. */
export declare class StillUnderWay extends PourwrightError {
    readonly id: string;
    readonly status: string;
    constructor(id: string, status: string, patienceS: number);
}
/** A file is not what the answer says it is: its length, its SHA-256 or its Repr-Digest differs. */
export declare class WrongBytes extends PourwrightError {
}
/** A webhook's call that was not signed with one of the secrets, or too long ago: answer it 400, do nothing else. */
export declare class NotSigned extends PourwrightError {
}
/** The exception for an answer that is not 2xx. */
export declare function thrownFor(status: number, text: string, retryAfterS: number | undefined): Answered;
