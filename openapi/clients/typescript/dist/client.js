/** The client: estimates, baits, fits, files and links; batches and what is kept by name hang on it. */
import { Batches } from "./batches.js";
import { EndedBadly, ServiceFailed, StillUnderWay } from "./errors.js";
import { fetched } from "./files.js";
import { HouseStyles, Plastics, Webhooks } from "./kept.js";
import { underWay } from "./records.js";
import { Deadline, LONGEST_WAIT_S, Transport, retryAfterS } from "./transport.js";
/**
 * One Pourwright service, such as `http://127.0.0.1:8080`. Every call may throw what `errors` has. It is made again where
 * the service says when to come back, and where no answer came and nothing is done twice by it.
 */
export class Client {
    batches;
    houseStyles;
    plastics;
    webhooks;
    #transport;
    #patienceS;
    constructor(url, options = {}) {
        this.#transport = new Transport(url, options.key, options.fetch ?? fetch);
        this.#patienceS = options.patienceS ?? 120;
        this.batches = new Batches(this.#transport, this.#patienceS);
        this.houseStyles = new HouseStyles(this.#transport, this.#patienceS);
        this.plastics = new Plastics(this.#transport, this.#patienceS);
        this.webhooks = new Webhooks(this.#transport, this.#patienceS);
    }
    /** All that is known of a bait without its mesh, in milliseconds: figures and checks. `files` stays empty. */
    async estimate(request, within = {}) {
        return this.#bait("/v1/estimates", within, { method: "POST", body: request });
    }
    /** The bait of a request, built. Throws EndedBadly, StillUnderWay. To build again what has been built costs a call. */
    async build(request, within = {}) {
        return this.#made("/v1/baits", request, {}, within);
    }
    /** Asks for a bait and does not wait; `wait`, or a webhook, tells of its end. */
    async order(request, within = {}) {
        return this.#bait("/v1/baits", within, { method: "POST", body: request });
    }
    /** A bait as it stands. Throws NotThere. */
    async bait(id, within = {}) {
        return this.#bait(`/v1/baits/${encodeURIComponent(id)}`, within);
    }
    /** A bait, also by its id, or a fit once it has ended. Throws EndedBadly, StillUnderWay. */
    async wait(made, within = {}) {
        const place = typeof made === "string" ? `/v1/baits/${encodeURIComponent(made)}` : own(made);
        return this.#awaited(place, this.#until(within));
    }
    /** Dismisses what is under way, removes what has ended. */
    async remove(made) {
        await this.#transport.call(own(made), this.#until({}), { method: "DELETE", repeatable: false });
    }
    /** What a search found; its `answer.best.request` can be ordered. Throws EndedBadly, StillUnderWay. */
    async fit(request, keyed = {}) {
        return this.#made("/v1/fits", request, idempotent(keyed.idempotencyKey), keyed);
    }
    /** Asks for a fit and does not wait; `wait`, or a webhook, tells of its end. A small one has ended at once. */
    async search(request, keyed = {}) {
        const call = { method: "POST", body: request, headers: idempotent(keyed.idempotencyKey) };
        return told(await this.#transport.call("/v1/fits", this.#until(keyed), call));
    }
    /** A fit as it stands. Throws NotThere. */
    async found(id, within = {}) {
        const answer = await this.#transport.call(`/v1/fits/${encodeURIComponent(id)}`, this.#until(within));
        return told(answer);
    }
    /** A file's bytes. Throws WrongBytes unless length, SHA-256 and Repr-Digest are what the manifest says. */
    async fetchFile(file, within = {}) {
        return fetched(this.#transport, file, this.#until(within));
    }
    /** An address, whole, that opens this one file without a key until it expires. */
    async link(file, bait, seconds = 86_400) {
        const call = { method: "POST", body: { bait: bait.id, file: file.name, seconds } };
        const link = (await this.#transport.call("/v1/links", this.#until({}), call)).json;
        return { ...link, href: this.#transport.address(link.href) };
    }
    /** Every style, the house styles of your own last: title, summary, example, `params_schema`. */
    async styles() {
        return (await this.#transport.call("/v1/styles", this.#until({}))).json.styles;
    }
    /** One style, with the strands that its example becomes. Throws NotThere. */
    async style(name) {
        return (await this.#transport.call(`/v1/styles/${encodeURIComponent(name)}`, this.#until({}))).json;
    }
    #until(within) {
        return new Deadline(within.withinS ?? this.#patienceS, within.signal);
    }
    async #bait(place, within, call = {}) {
        return told(await this.#transport.call(place, this.#until(within), call));
    }
    async #made(place, body, more, within) {
        const deadline = this.#until(within);
        const headers = { ...more, ...waiting(deadline) };
        const answer = await this.#transport.call(place, deadline, { method: "POST", body, headers });
        return this.#awaited(answer.headers.get("Location") ?? "", deadline, answer);
    }
    async #awaited(place, deadline, first) {
        for (let answer = first;; answer = undefined) {
            answer ??= await this.#transport.call(place, deadline, { headers: waiting(deadline) });
            const made = told(answer);
            if (made.status === "successful")
                return made;
            if (!underWay(made))
                throw new EndedBadly(made);
            // Who was not waited for (no free waiter) comes back when told; who was may ask for the next wait at once.
            const pauseS = answer.headers.has("Preference-Applied") ? 0 : (retryAfterS(answer.headers) ?? 1);
            if (deadline.leftS < 1 || !(await deadline.pause(pauseS))) {
                throw new StillUnderWay(made.id, made.status, deadline.patienceS);
            }
        }
    }
}
/** The header, with a key of its own unless one is given. Throws TypeError for one that cannot be sent. */
export function idempotent(key = crypto.randomUUID()) {
    if (!/^[ !#-[\]-~]{1,255}$/.test(key)) {
        throw new TypeError("an idempotency key is 1 to 255 printable ASCII characters without quotes and backslashes");
    }
    return { "Idempotency-Key": `"${key}"` };
}
/** A record's own address. Throws TypeError where it tells none. */
export function own(record) {
    const self = record.links["self"];
    if (self === undefined)
        throw new TypeError(`${record.id} tells no address of its own`);
    return self;
}
/** A record that was answered. Throws ServiceFailed for what is none: another server, or a broken proxy. */
export function told(answer) {
    const found = answer.json;
    if (typeof found?.id === "string" && typeof found.status === "string")
        return found;
    const detail = "The answer is not what this call answers.";
    throw new ServiceFailed(answer.status, { type: "about:blank", title: "Another answer", detail });
}
function waiting(deadline) {
    const seconds = Math.min(LONGEST_WAIT_S, Math.floor(deadline.leftS));
    return seconds ? { Prefer: `wait=${seconds}` } : {};
}
