import { Deadline } from "./transport.js";
/** Things that have names below one address. A change is not sent twice: it is unknown whether it was done. */
class Shelf {
    #transport;
    #patienceS;
    constructor(transport, patienceS) {
        this.#transport = transport;
        this.#patienceS = patienceS;
    }
    /** Removes it. Throws NotThere. */
    async forget(name) {
        await this.call(name, { method: "DELETE" });
    }
    async call(name, call = {}, more = "") {
        const where = name ? `${this.place}/${encodeURIComponent(name)}${more}` : this.place;
        const repeatable = call.method === undefined;
        return (await this.#transport.call(where, new Deadline(this.#patienceS), { ...call, repeatable })).json;
    }
}
/** Styles of the caller's own, each a built-in one that is narrower. */
export class HouseStyles extends Shelf {
    place = "/v1/styles";
    /** All of them; `Client.styles` tells the built-in ones too. */
    async list() {
        const { styles } = (await this.call(""));
        return styles.filter((style) => style.definition !== undefined);
    }
    /** One: told as any style, and its `definition`, which can be kept again. Throws NotThere. */
    async get(name) {
        return (await this.call(name));
    }
    /** Makes or replaces one. Throws Clash for a built-in name, Refused with every fault of the definition. */
    async keep(name, body) {
        return (await this.call(name, { method: "PUT", body }));
    }
}
/** Plastics: the built-in grades, and those of the caller's own. */
export class Plastics extends Shelf {
    place = "/v1/plastics";
    async list() {
        return (await this.call("")).plastics;
    }
    /** One. Throws NotThere. */
    async get(name) {
        return (await this.call(name));
    }
    /** Makes or replaces one. Throws Clash for a built-in name. */
    async keep(name, body) {
        return (await this.call(name, { method: "PUT", body }));
    }
    /** Puts what was measured on test pieces in its place; tells which kept baits answer otherwise by it. */
    async measure(name, body) {
        return (await this.call(name, { method: "POST", body }, "/measurements"));
    }
}
/** Where the service tells of baits and fits that have ended. Who receives that needs `verify`. */
export class Webhooks extends Shelf {
    place = "/v1/webhooks";
    async list() {
        return (await this.call("")).webhooks;
    }
    /** One, with how its deliveries go. Throws NotThere. */
    async get(name) {
        return (await this.call(name));
    }
    /** Makes or changes one. Its `secret` is in the answer that makes it, and after `new_secret`: store it then. */
    async keep(name, body) {
        return (await this.call(name, { method: "PUT", body }));
    }
}
