/** The client: estimates, baits, fits, files and links; batches and what is kept by name hang on it. */
import { Batches } from "./batches.js";
import { HouseStyles, Plastics, Webhooks } from "./kept.js";
import { type Bait, type File, type Fit, type FitRequest, type Link, type Request, type Style } from "./records.js";
import { type Answer } from "./transport.js";
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
export declare class Client {
    #private;
    readonly batches: Batches;
    readonly houseStyles: HouseStyles;
    readonly plastics: Plastics;
    readonly webhooks: Webhooks;
    constructor(url: string, options?: Options);
    /** All that is known of a bait without its mesh, in milliseconds: figures and checks. `files` stays empty. */
    estimate(request: Request, within?: Within): Promise<Bait>;
    /** The bait of a request, built. Throws EndedBadly, StillUnderWay. To build again what has been built costs a call. */
    build(request: Request, within?: Within): Promise<Bait>;
    /** Asks for a bait and does not wait; `wait`, or a webhook, tells of its end. */
    order(request: Request, within?: Within): Promise<Bait>;
    /** A bait as it stands. Throws NotThere. */
    bait(id: string, within?: Within): Promise<Bait>;
    /** A bait, also by its id, or a fit once it has ended. Throws EndedBadly, StillUnderWay. */
    wait<R extends Bait | Fit = Bait>(made: R | string, within?: Within): Promise<R>;
    /** Dismisses what is under way, removes what has ended. */
    remove(made: Bait | Fit): Promise<void>;
    /** What a search found; its `answer.best.request` can be ordered. Throws EndedBadly, StillUnderWay. */
    fit(request: FitRequest, keyed?: Keyed): Promise<Fit>;
    /** Asks for a fit and does not wait; `wait`, or a webhook, tells of its end. A small one has ended at once. */
    search(request: FitRequest, keyed?: Keyed): Promise<Fit>;
    /** A fit as it stands. Throws NotThere. */
    found(id: string, within?: Within): Promise<Fit>;
    /** A file's bytes. Throws WrongBytes unless length, SHA-256 and Repr-Digest are what the manifest says. */
    fetchFile(file: File, within?: Within): Promise<Uint8Array<ArrayBuffer>>;
    /** An address, whole, that opens this one file without a key until it expires. */
    link(file: File, bait: Bait, seconds?: number): Promise<Link>;
    /** Every style, the house styles of your own last: title, summary, example, `params_schema`. */
    styles(): Promise<Style[]>;
    /** One style, with the strands that its example becomes. Throws NotThere. */
    style(name: string): Promise<Style>;
}
/** The header, with a key of its own unless one is given. Throws TypeError for one that cannot be sent. */
export declare function idempotent(key?: string): Record<string, string>;
/** A record's own address. Throws TypeError where it tells none. */
export declare function own(record: {
    id: string;
    links: Record<string, string>;
}): string;
/** A record that was answered. Throws ServiceFailed for what is none: another server, or a broken proxy. */
export declare function told<R extends {
    id: string;
    status: string;
}>(answer: Answer): R;
