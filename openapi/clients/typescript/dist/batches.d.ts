/** Batches: many baits at once, told as they end, fetched as one archive. */
import { type Keyed, type Within } from "./client.js";
import { type Batch, type BatchItem, type Request } from "./records.js";
import { type Transport } from "./transport.js";
/** Up to 1,000 requests in 8 MiB at once; see `Client`, whose `batches` this is. */
export declare class Batches {
    #private;
    constructor(transport: Transport, patienceS: number);
    /** Hands in a batch. Throws Refused where none of the items can be built. */
    submit(requests: readonly Request[], keyed?: Keyed): Promise<Batch>;
    /** A batch as it stands. Throws NotThere. */
    get(id: string, within?: Within): Promise<Batch>;
    /** Each item as soon as it is seen to have ended, those that cannot be built first. Throws StillUnderWay. */
    results(batch: Batch | string, within?: Within): AsyncGenerator<BatchItem, void, void>;
    /** The batch once it has ended. Throws StillUnderWay. */
    finish(batch: Batch | string, within?: Within): Promise<Batch>;
    /**
     * All files of an ended batch as one ZIP, as it comes; it goes on where the line breaks. Write it aside and rename it:
     * what was read of it before anything is thrown is no archive. Throws Clash before the batch has ended.
     */
    archive(batch: Batch, within?: Within): AsyncGenerator<Uint8Array<ArrayBuffer>, void, void>;
    /** Dismisses a batch under way with its baits that nobody else wants; removes one that has ended. */
    remove(batch: Batch): Promise<void>;
}
