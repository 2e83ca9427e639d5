/** What a call may throw: one tree, PourwrightError at its root. */
import type { Bait, Fault, Fit, Problem } from "./records.js";

export class PourwrightError extends Error {
  constructor(message: string, options?: ErrorOptions) {
    super(message, options);
    this.name = new.target.name;
  }
}

/** No answer came, however often it was tried. */
export class Unreachable extends PourwrightError {}

/** The service said no; `problem` is its problem document (RFC 9457). */
export class Answered extends PourwrightError {
  constructor(
    readonly status: number,
    readonly problem: Problem,
  ) {
    super([problem.detail || problem.title, ...(problem.errors ?? []).map((one) => `  ${one.pointer}: ${one.detail}`)].join("\n"));
  }

  /** The last part of the problem's type, for programs: `invalid-request`, `infeasible`, ... */
  get kind(): string {
    return this.problem.type.replace("urn:pourwright:problem:", "");
  }

  /** Every fault of the request, by its JSON pointer (RFC 6901). */
  get faults(): Fault[] {
    return this.problem.errors ?? [];
  }
}

/** The request is not one that can be done: 400, 413, 415, 422, and whatever else is not 2xx. */
export class Refused extends Answered {}
/** 401 or 403: no key, a wrong one, or one without the scope. */
export class NotAllowed extends Answered {}
/** 404 or 410: unknown, another caller's, or cleared away. */
export class NotThere extends Answered {}
/** 409 or 412: it does not go with how things stand at present. */
export class Clash extends Answered {}
/** Any other 5xx, or an answer that is none of Pourwright's. */
export class ServiceFailed extends Answered {}

/** 429 or 503 for longer than patience lasted, or 409 of a key whose first call is not answered yet. */
export class Busy extends Answered {
  constructor(
    status: number,
    problem: Problem,
    readonly retryAfterS: number | undefined,
  ) {
    super(status, problem);
  }
}

/** A bait or a fit that `failed` or was `dismissed`. */
export class EndedBadly extends PourwrightError {
  constructor(readonly record: Bait | Fit) {
    super(`${record.status}: ${record.problem?.detail ?? record.id}`);
  }
}

/** Patience ended before the work did. `id` is good for asking again: nothing is lost. */
export class StillUnderWay extends PourwrightError {
  constructor(
    readonly id: string,
    readonly status: string,
    patienceS: number,
  ) {
    super(`${id} was still ${status} after ${patienceS} s`);
  }
}

/** A file is not what the answer says it is: its length, its SHA-256 or its Repr-Digest differs. */
export class WrongBytes extends PourwrightError {}

/** A webhook's call that was not signed with one of the secrets, or too long ago: answer it 400, do nothing else. */
export class NotSigned extends PourwrightError {}

/** The exception for an answer that is not 2xx. */
export function thrownFor(status: number, text: string, retryAfterS: number | undefined): Answered {
  let problem: Problem;
  try {
    const told: unknown = JSON.parse(text);
    if (typeof told !== "object" || told === null || Array.isArray(told)) throw new TypeError();
    problem = { type: "about:blank", title: "", detail: "", ...told };
  } catch {
    const detail = `Answer ${status}, and no problem document: ${text.slice(0, 200)}`;
    problem = { type: "about:blank", title: `Answer ${status}`, detail };
  }
  if (status === 429 || status === 503 || problem.type.endsWith(":unanswered")) return new Busy(status, problem, retryAfterS);
  if (status === 401 || status === 403) return new NotAllowed(status, problem);
  if (status === 404 || status === 410) return new NotThere(status, problem);
  if (status === 409 || status === 412) return new Clash(status, problem);
  return status >= 500 || status < 300 ? new ServiceFailed(status, problem) : new Refused(status, problem);
}
