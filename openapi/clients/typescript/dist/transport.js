/** One call and its repetitions: when to come back, how long to go on, what may be sent twice. */
import { Busy, PourwrightError, Unreachable, thrownFor } from "./errors.js";
/** The most that the service waits in one call (`Prefer: wait`), in seconds. */
export const LONGEST_WAIT_S = 25;
/** How long a call may say nothing before it counts as lost, in seconds: longer than the service may be waiting. */
const ANSWER_S = LONGEST_WAIT_S + 15;
/** How often a call is made at most where no answer comes. */
export const TRIES = 4;
const FIRST_PAUSE_S = 0.2;
/** When patience ends. */
export class Deadline {
    patienceS;
    signal;
    #at;
    constructor(patienceS, signal) {
        this.patienceS = patienceS;
        this.signal = signal;
        this.#at = performance.now() + patienceS * 1000;
    }
    get leftS() {
        return Math.max(0, (this.#at - performance.now()) / 1000);
    }
    /**
     * Sleeps so long, and up to a tenth more, so that many who were told the same do not come at once. False, and no sleep,
     * where patience ends before that. Throws the signal's reason.
     */
    async pause(seconds) {
        if (seconds > this.leftS)
            return false;
        const until = Math.min(this.leftS, seconds * (1 + Math.random() / 10));
        this.signal?.throwIfAborted();
        await new Promise((resolve, reject) => {
            const stop = () => {
                clearTimeout(timer);
                reject(this.signal?.reason);
            };
            const timer = setTimeout(() => {
                this.signal?.removeEventListener("abort", stop);
                resolve();
            }, until * 1000);
            this.signal?.addEventListener("abort", stop, { once: true });
        });
        return true;
    }
    /** The pause after so many failures in a row; false where it was one too many or patience ends before that. */
    async backOff(failures) {
        return failures < TRIES && (await this.pause(FIRST_PAUSE_S * 4 ** (failures - 1)));
    }
    /** The pause that a busy service asked for; false where patience ends before that. */
    async comeBack(busy) {
        return this.pause(Math.max(FIRST_PAUSE_S, busy.retryAfterS ?? 1));
    }
}
/** Breaks a call off that says nothing for too long, or that the caller no longer wants. */
export class Watch {
    signal;
    #quiet = new AbortController();
    #limitMs;
    #timer;
    constructor(deadline) {
        this.#limitMs = Math.ceil(Math.min(ANSWER_S, deadline.leftS + 1) * 1000);
        this.signal = deadline.signal ? AbortSignal.any([deadline.signal, this.#quiet.signal]) : this.#quiet.signal;
        this.heard();
    }
    /** Something came: the time begins anew. */
    heard() {
        clearTimeout(this.#timer);
        this.#timer = setTimeout(() => this.#quiet.abort(new DOMException("nothing came", "TimeoutError")), this.#limitMs);
    }
    end() {
        clearTimeout(this.#timer);
    }
}
export class Transport {
    #base;
    #key;
    #fetch;
    constructor(url, key, through) {
        this.#base = url.replace(/\/+$/, "") + "/";
        this.#key = key || undefined;
        this.#fetch = through;
    }
    /** The whole address of a reference out of an answer. Throws for one that leads elsewhere: the key goes along. */
    address(reference) {
        const whole = new URL(reference, this.#base);
        if (whole.origin !== new URL(this.#base).origin)
            throw new PourwrightError(`${reference} leads away from ${this.#base}`);
        return whole.href;
    }
    /** One call, read to its end, made again where that can help. Throws Answered, Unreachable. */
    async call(reference, deadline, call = {}) {
        const most = call.repeatable === false ? 1 : TRIES;
        for (let failures = 0;;) {
            const watch = new Watch(deadline);
            try {
                const answer = await this.open(reference, watch, call);
                const text = await answer.text();
                return { status: answer.status, headers: answer.headers, json: text ? parsed(answer.status, text) : undefined };
            }
            catch (reason) {
                if (reason instanceof Busy) {
                    if (!(await deadline.comeBack(reason)))
                        throw reason;
                }
                else if (!lost(reason, deadline)) {
                    throw reason;
                }
                else if (++failures >= most || !(await deadline.backOff(failures))) {
                    throw new Unreachable(`no answer: ${words(reason)}`, { cause: reason });
                }
            }
            finally {
                watch.end();
            }
        }
    }
    /** One call made once, its answer yet to be read. Throws Answered, or whatever fetch throws where the line fails. */
    async open(reference, watch, call) {
        const headers = { ...call.headers };
        if (call.body !== undefined)
            headers["Content-Type"] = "application/json";
        if (this.#key)
            headers["Authorization"] = `Bearer ${this.#key}`;
        const asked = { method: call.method ?? "GET", headers, redirect: "manual", signal: watch.signal };
        if (call.body !== undefined)
            asked.body = JSON.stringify(call.body);
        const answer = await this.#fetch(this.address(reference), asked);
        if (!answer.ok)
            throw thrownFor(answer.status, await answer.text(), retryAfterS(answer.headers));
        return answer;
    }
}
/** What Retry-After says (RFC 9110: seconds or a date), in seconds from now. */
export function retryAfterS(headers) {
    const told = headers.get("Retry-After");
    if (told === null)
        return undefined;
    if (/^\d+$/.test(told))
        return Number(told);
    const date = Date.parse(told);
    return Number.isNaN(date) ? undefined : Math.max(0, (date - Date.now()) / 1000);
}
/** Whether a failure is the line's. What the caller broke off himself is not. */
export function lost(reason, deadline) {
    if (deadline.signal?.aborted)
        return false;
    // fetch and the reading of a body throw TypeError where the line fails, and the time limit a DOMException.
    return reason instanceof TypeError || reason instanceof DOMException;
}
export function words(reason) {
    if (!(reason instanceof Error))
        return String(reason);
    return reason.cause instanceof Error ? `${reason.message} (${reason.cause.message})` : reason.message;
}
function parsed(status, text) {
    try {
        return JSON.parse(text);
    }
    catch {
        throw thrownFor(status, text, undefined);
    }
}
