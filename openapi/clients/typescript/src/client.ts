/** The client: estimates, baits, fits, files and links; batches and what is kept by name hang on it. */
import { Batches } from "./batches.js";
import { EndedBadly, ServiceFailed, StillUnderWay } from "./errors.js";
import { fetched } from "./files.js";
import { HouseStyles, Plastics, Webhooks } from "./kept.js";
import { type Bait, type File, type Fit, type FitRequest, type Link, type Request, type Style, underWay } from "./records.js";
import { type Answer, type Call, Deadline, LONGEST_WAIT_S, Transport, retryAfterS } from "./transport.js";

export interface Options {
  /** Of the service, where it has keys. Keep it on a server: whoever has a page has what is in it. */
  key?: string;
  /** How long a call may go on, coming back included; 120 unless told. */
  patienceS?: number;
  /** In place of the platform's own, for a proxy or a private certificate. */
  fetch?: typeof fetch;
}

/** Of one call. */
export interface Within {
  withinS?: number;
  signal?: AbortSignal;
}

export interface Keyed extends Within {
  /** One of its own is made unless you bring yours: repeated, it is the same search or batch. */
  idempotencyKey?: string;
}

/**
 * One Pourwright service, such as `http://127.0.0.1:8080`. Every call may throw what `errors` has. It is made again where
 * the service says when to come back, and where no answer came and nothing is done twice by it.
 */
export class Client {
  readonly batches: Batches;
  readonly houseStyles: HouseStyles;
  readonly plastics: Plastics;
  readonly webhooks: Webhooks;
  readonly #transport: Transport;
  readonly #patienceS: number;

  constructor(url: string, options: Options = {}) {
    this.#transport = new Transport(url, options.key, options.fetch ?? fetch);
    this.#patienceS = options.patienceS ?? 120;
    this.batches = new Batches(this.#transport, this.#patienceS);
    this.houseStyles = new HouseStyles(this.#transport, this.#patienceS);
    this.plastics = new Plastics(this.#transport, this.#patienceS);
    this.webhooks = new Webhooks(this.#transport, this.#patienceS);
  }

  /** All that is known of a bait without its mesh, in milliseconds: figures and checks. `files` stays empty. */
  async estimate(request: Request, within: Within = {}): Promise<Bait> {
    return this.#bait("/v1/estimates", within, { method: "POST", body: request });
  }

  /** The bait of a request, built. Throws EndedBadly, StillUnderWay. To build again what has been built costs a call. */
  async build(request: Request, within: Within = {}): Promise<Bait> {
    return this.#made<Bait>("/v1/baits", request, {}, within);
  }

  /** Asks for a bait and does not wait; `wait`, or a webhook, tells of its end. */
  async order(request: Request, within: Within = {}): Promise<Bait> {
    return this.#bait("/v1/baits", within, { method: "POST", body: request });
  }

  /** A bait as it stands. Throws NotThere. */
  async bait(id: string, within: Within = {}): Promise<Bait> {
    return this.#bait(`/v1/baits/${encodeURIComponent(id)}`, within);
  }

  /** A bait, also by its id, or a fit once it has ended. Throws EndedBadly, StillUnderWay. */
  async wait<R extends Bait | Fit = Bait>(made: R | string, within: Within = {}): Promise<R> {
    const place = typeof made === "string" ? `/v1/baits/${encodeURIComponent(made)}` : own(made);
    return this.#awaited<R>(place, this.#until(within));
  }

  /** Dismisses what is under way, removes what has ended. */
  async remove(made: Bait | Fit): Promise<void> {
    await this.#transport.call(own(made), this.#until({}), { method: "DELETE", repeatable: false });
  }

  /** What a search found; its `answer.best.request` can be ordered. Throws EndedBadly, StillUnderWay. */
  async fit(request: FitRequest, keyed: Keyed = {}): Promise<Fit> {
    return this.#made<Fit>("/v1/fits", request, idempotent(keyed.idempotencyKey), keyed);
  }

  /** Asks for a fit and does not wait; `wait`, or a webhook, tells of its end. A small one has ended at once. */
  async search(request: FitRequest, keyed: Keyed = {}): Promise<Fit> {
    const call = { method: "POST", body: request, headers: idempotent(keyed.idempotencyKey) };
    return told<Fit>(await this.#transport.call("/v1/fits", this.#until(keyed), call));
  }

  /** A fit as it stands. Throws NotThere. */
  async found(id: string, within: Within = {}): Promise<Fit> {
    const answer = await this.#transport.call(`/v1/fits/${encodeURIComponent(id)}`, this.#until(within));
    return told<Fit>(answer);
  }

  /** A file's bytes. Throws WrongBytes unless length, SHA-256 and Repr-Digest are what the manifest says. */
  async fetchFile(file: File, within: Within = {}): Promise<Uint8Array<ArrayBuffer>> {
    return fetched(this.#transport, file, this.#until(within));
  }

  /** An address, whole, that opens this one file without a key until it expires. */
  async link(file: File, bait: Bait, seconds = 86_400): Promise<Link> {
    const call = { method: "POST", body: { bait: bait.id, file: file.name, seconds } };
    const link = (await this.#transport.call("/v1/links", this.#until({}), call)).json as Link;
    return { ...link, href: this.#transport.address(link.href) };
  }

  /** Every style, the house styles of your own last: title, summary, example, `params_schema`. */
  async styles(): Promise<Style[]> {
    return ((await this.#transport.call("/v1/styles", this.#until({}))).json as { styles: Style[] }).styles;
  }

  /** One style, with the strands that its example becomes. Throws NotThere. */
  async style(name: string): Promise<Style> {
    return (await this.#transport.call(`/v1/styles/${encodeURIComponent(name)}`, this.#until({}))).json as Style;
  }

  #until(within: Within): Deadline {
    return new Deadline(within.withinS ?? this.#patienceS, within.signal);
  }

  async #bait(place: string, within: Within, call: Call = {}): Promise<Bait> {
    return told<Bait>(await this.#transport.call(place, this.#until(within), call));
  }

  async #made<R extends Bait | Fit>(place: string, body: object, more: Record<string, string>, within: Within): Promise<R> {
    const deadline = this.#until(within);
    const headers = { ...more, ...waiting(deadline) };
    const answer = await this.#transport.call(place, deadline, { method: "POST", body, headers });
    return this.#awaited<R>(answer.headers.get("Location") ?? "", deadline, answer);
  }

  async #awaited<R extends Bait | Fit>(place: string, deadline: Deadline, first?: Answer): Promise<R> {
    for (let answer = first; ; answer = undefined) {
      answer ??= await this.#transport.call(place, deadline, { headers: waiting(deadline) });
      const made = told<R>(answer);
      if (made.status === "successful") return made;
      if (!underWay(made)) throw new EndedBadly(made);
      // Who was not waited for (no free waiter) comes back when told; who was may ask for the next wait at once.
      const pauseS = answer.headers.has("Preference-Applied") ? 0 : (retryAfterS(answer.headers) ?? 1);
      if (deadline.leftS < 1 || !(await deadline.pause(pauseS))) {
        throw new StillUnderWay(made.id, made.status, deadline.patienceS);
      }
    }
  }
}

/** The header, with a key of its own unless one is given. Throws TypeError for one that cannot be sent. */
export function idempotent(key: string = crypto.randomUUID()): Record<string, string> {
  if (!/^[ !#-[\]-~]{1,255}$/.test(key)) {
    throw new TypeError("an idempotency key is 1 to 255 printable ASCII characters without quotes and backslashes");
  }
  return { "Idempotency-Key": `"${key}"` };
}

/** A record's own address. Throws TypeError where it tells none. */
export function own(record: { id: string; links: Record<string, string> }): string {
  const self = record.links["self"];
  if (self === undefined) throw new TypeError(`${record.id} tells no address of its own`);
  return self;
}

/** A record that was answered. Throws ServiceFailed for what is none: another server, or a broken proxy. */
export function told<R extends { id: string; status: string }>(answer: Answer): R {
  const found = answer.json as Partial<R> | null | undefined;
  if (typeof found?.id === "string" && typeof found.status === "string") return found as R;
  const detail = "The answer is not what this call answers.";
  throw new ServiceFailed(answer.status, { type: "about:blank", title: "Another answer", detail });
}

function waiting(deadline: Deadline): Record<string, string> {
  const seconds = Math.min(LONGEST_WAIT_S, Math.floor(deadline.leftS));
  return seconds ? { Prefer: `wait=${seconds}` } : {};
}
