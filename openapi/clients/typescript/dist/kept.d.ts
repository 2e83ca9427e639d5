/** What a caller keeps by name: house styles, plastics of his own, webhooks. Changes need a key with the scope `admin`. */
import type { HouseStyleDefinition, MeasuredPlastic, Measurements, Plastic, PlasticDefinition, Style, Webhook, WebhookDefinition } from "./records.js";
import { type Call, type Transport } from "./transport.js";
/** Things that have names below one address. A change is not sent twice: it is unknown whether it was done. */
declare abstract class Shelf {
    #private;
    protected abstract readonly place: string;
    constructor(transport: Transport, patienceS: number);
    /** Removes it. Throws NotThere. */
    forget(name: string): Promise<void>;
    protected call(name: string, call?: Call, more?: string): Promise<unknown>;
}
/** Styles of the caller's own, each a built-in one that is narrower. */
export declare class HouseStyles extends Shelf {
    protected readonly place = "/v1/styles";
    /** All of them; `Client.styles` tells the built-in ones too. */
    list(): Promise<Style[]>;
    /** One: told as any style, and its `definition`, which can be kept again. Throws NotThere. */
    get(name: string): Promise<Style>;
    /** Makes or replaces one. Throws Clash for a built-in name, Refused with every fault of the definition. */
    keep(name: string, body: HouseStyleDefinition): Promise<Style>;
}
/** Plastics: the built-in grades, and those of the caller's own. */
export declare class Plastics extends Shelf {
    protected readonly place = "/v1/plastics";
    list(): Promise<Plastic[]>;
    /** One. Throws NotThere. */
    get(name: string): Promise<Plastic>;
    /** Makes or replaces one. Throws Clash for a built-in name. */
    keep(name: string, body: PlasticDefinition): Promise<Plastic>;
    /** Puts what was measured on test pieces in its place; tells which kept baits answer otherwise by it. */
    measure(name: string, body: Measurements): Promise<MeasuredPlastic>;
}
/** Where the service tells of baits and fits that have ended. Who receives that needs `verify`. */
export declare class Webhooks extends Shelf {
    protected readonly place = "/v1/webhooks";
    list(): Promise<Webhook[]>;
    /** One, with how its deliveries go. Throws NotThere. */
    get(name: string): Promise<Webhook>;
    /** Makes or changes one. Its `secret` is in the answer that makes it, and after `new_secret`: store it then. */
    keep(name: string, body: WebhookDefinition): Promise<Webhook>;
}
export {};
