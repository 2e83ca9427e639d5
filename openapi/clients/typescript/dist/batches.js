/** Batches: many baits at once, told as they end, fetched as one archive. */
import { idempotent, own, told } from "./client.js";
import { StillUnderWay } from "./errors.js";
import { pieces } from "./files.js";
import { underWay } from "./records.js";
import { Deadline, retryAfterS } from "./transport.js";
/** Between two looks at a batch where the service does not say when to come back, in seconds. */
const PAUSE_S = 2;
/** Up to 1,000 requests in 8 MiB at once; see `Client`, whose `batches` this is. */
export class Batches {
    #transport;
    #patienceS;
    constructor(transport, patienceS) {
        this.#transport = transport;
        this.#patienceS = patienceS;
    }
    /** Hands in a batch. Throws Refused where none of the items can be built. */
    async submit(requests, keyed = {}) {
        const call = { method: "POST", body: requests, headers: idempotent(keyed.idempotencyKey) };
        return told(await this.#transport.call("/v1/batches", this.#until(keyed), call));
    }
    /** A batch as it stands. Throws NotThere. */
    async get(id, within = {}) {
        return told(await this.#transport.call(`/v1/batches/${encodeURIComponent(id)}`, this.#until(within)));
    }
    /** Each item as soon as it is seen to have ended, those that cannot be built first. Throws StillUnderWay. */
    async *results(batch, within = {}) {
        const deadline = this.#until(within);
        const id = typeof batch === "string" ? batch : batch.id;
        const before = new Set();
        for (;;) {
            const answer = await this.#transport.call(`/v1/batches/${encodeURIComponent(id)}`, deadline);
            const seen = told(answer);
            for (const item of seen.items) {
                if (underWay(item) || before.has(item.index))
                    continue;
                before.add(item.index);
                yield item;
            }
            if (!underWay(seen))
                return;
            if (!(await deadline.pause(retryAfterS(answer.headers) ?? PAUSE_S))) {
                throw new StillUnderWay(id, seen.status, deadline.patienceS);
            }
        }
    }
    /** The batch once it has ended. Throws StillUnderWay. */
    async finish(batch, within = {}) {
        for await (const _ of this.results(batch, within))
            ;
        return this.get(typeof batch === "string" ? batch : batch.id, within);
    }
    /**
     * All files of an ended batch as one ZIP, as it comes; it goes on where the line breaks. Write it aside and rename it:
     * what was read of it before anything is thrown is no archive. Throws Clash before the batch has ended.
     */
    archive(batch, within = {}) {
        return pieces(this.#transport, batch.links["archive"] ?? `${own(batch)}/archive`, this.#until(within));
    }
    /** Dismisses a batch under way with its baits that nobody else wants; removes one that has ended. */
    async remove(batch) {
        await this.#transport.call(own(batch), this.#until({}), { method: "DELETE", repeatable: false });
    }
    #until(within) {
        return new Deadline(within.withinS ?? this.#patienceS, within.signal);
    }
}
