/** What a caller keeps by name: house styles, plastics of his own, webhooks. Changes need a key with the scope `admin`. */
import type { HouseStyleDefinition, MeasuredPlastic, Measurements, Plastic, PlasticDefinition, Style, Webhook, WebhookDefinition } from "./records.js";
import { type Call, Deadline, type Transport } from "./transport.js";

/** Things that have names below one address. A change is not sent twice: it is unknown whether it was done. */
abstract class Shelf {
  protected abstract readonly place: string;
  readonly #transport: Transport;
  readonly #patienceS: number;

  constructor(transport: Transport, patienceS: number) {
    this.#transport = transport;
    this.#patienceS = patienceS;
  }

  /** Removes it. Throws NotThere. */
  async forget(name: string): Promise<void> {
    await this.call(name, { method: "DELETE" });
  }

  protected async call(name: string, call: Call = {}, more = ""): Promise<unknown> {
    const where = name ? `${this.place}/${encodeURIComponent(name)}${more}` : this.place;
    const repeatable = call.method === undefined;
    return (await this.#transport.call(where, new Deadline(this.#patienceS), { ...call, repeatable })).json;
  }
}

/** Styles of the caller's own, each a built-in one that is narrower. */
export class HouseStyles extends Shelf {
  protected readonly place = "/v1/styles";

  /** All of them; `Client.styles` tells the built-in ones too. */
  async list(): Promise<Style[]> {
    const { styles } = (await this.call("")) as { styles: Style[] };
    return styles.filter((style) => style.definition !== undefined);
  }

  /** One: told as any style, and its `definition`, which can be kept again. Throws NotThere. */
  async get(name: string): Promise<Style> {
    return (await this.call(name)) as Style;
  }

  /** Makes or replaces one. Throws Clash for a built-in name, Refused with every fault of the definition. */
  async keep(name: string, body: HouseStyleDefinition): Promise<Style> {
    return (await this.call(name, { method: "PUT", body })) as Style;
  }
}

/** Plastics: the built-in grades, and those of the caller's own. */
export class Plastics extends Shelf {
  protected readonly place = "/v1/plastics";

  async list(): Promise<Plastic[]> {
    return ((await this.call("")) as { plastics: Plastic[] }).plastics;
  }

  /** One. Throws NotThere. */
  async get(name: string): Promise<Plastic> {
    return (await this.call(name)) as Plastic;
  }

  /** Makes or replaces one. Throws Clash for a built-in name. */
  async keep(name: string, body: PlasticDefinition): Promise<Plastic> {
    return (await this.call(name, { method: "PUT", body })) as Plastic;
  }

  /** Puts what was measured on test pieces in its place; tells which kept baits answer otherwise by it. */
  async measure(name: string, body: Measurements): Promise<MeasuredPlastic> {
    return (await this.call(name, { method: "POST", body }, "/measurements")) as MeasuredPlastic;
  }
}

/** Where the service tells of baits and fits that have ended. Who receives that needs `verify`. */
export class Webhooks extends Shelf {
  protected readonly place = "/v1/webhooks";

  async list(): Promise<Webhook[]> {
    return ((await this.call("")) as { webhooks: Webhook[] }).webhooks;
  }

  /** One, with how its deliveries go. Throws NotThere. */
  async get(name: string): Promise<Webhook> {
    return (await this.call(name)) as Webhook;
  }

  /** Makes or changes one. Its `secret` is in the answer that makes it, and after `new_secret`: store it then. */
  async keep(name: string, body: WebhookDefinition): Promise<Webhook> {
    return (await this.call(name, { method: "PUT", body })) as Webhook;
  }
}
