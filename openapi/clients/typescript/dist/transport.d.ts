/** One call and its repetitions: when to come back, how long to go on, what may be sent twice. */
import { Busy } from "./errors.js";
/** The most that the service waits in one call (`Prefer: wait`), in seconds. */
export declare const LONGEST_WAIT_S = 25;
/** How often a call is made at most where no answer comes. */
export declare const TRIES = 4;
/** When patience ends. */
export declare class Deadline {
    #private;
    readonly patienceS: number;
    readonly signal?: AbortSignal | undefined;
    constructor(patienceS: number, signal?: AbortSignal | undefined);
    get leftS(): number;
    /**
     * Sleeps so long, and up to a tenth more, so that many who were told the same do not come at once. False, and no sleep,
     * where patience ends before that. Throws the signal's reason.
     */
    pause(seconds: number): Promise<boolean>;
    /** The pause after so many failures in a row; false where it was one too many or patience ends before that. */
    backOff(failures: number): Promise<boolean>;
    /** The pause that a busy service asked for; false where patience ends before that. */
    comeBack(busy: Busy): Promise<boolean>;
}
/** Breaks a call off that says nothing for too long, or that the caller no longer wants. */
export declare class Watch {
    #private;
    readonly signal: AbortSignal;
    constructor(deadline: Deadline);
    /** Something came: the time begins anew. */
    heard(): void;
    end(): void;
}
export interface Call {
    method?: string;
    body?: unknown;
    headers?: Record<string, string>;
    /** Whether it may be sent again where it is unknown if it was done; it may unless this is false. */
    repeatable?: boolean;
}
export interface Answer {
    status: number;
    headers: Headers;
    /** Undefined where the answer is empty. */
    json: unknown;
}
export declare class Transport {
    #private;
    constructor(url: string, key: string | undefined, through: typeof fetch);
    /** The whole address of a reference out of an answer. Throws for one that leads elsewhere: the key goes along. */
    address(reference: string): string;
    /** One call, read to its end, made again where that can help. Throws Answered, Unreachable. */
    call(reference: string, deadline: Deadline, call?: Call): Promise<Answer>;
    /** One call made once, its answer yet to be read. Throws Answered, or whatever fetch throws where the line fails. */
    open(reference: string, watch: Watch, call: Call): Promise<Response>;
}
/** What Retry-After says (RFC 9110: seconds or a date), in seconds from now. */
export declare function retryAfterS(headers: Headers): number | undefined;
/** Whether a failure is the line's. What the caller broke off himself is not. */
export declare function lost(reason: unknown, deadline: Deadline): boolean;
export declare function words(reason: unknown): string;
