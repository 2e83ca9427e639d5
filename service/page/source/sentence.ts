// The bait in one sentence, built from what its style declares, and every other parameter in words below it.

import { el } from "./dom.ts";
import type { State } from "./state.ts";
import type { Schema, Style } from "./types.ts";
import { type Shown, value } from "./value.ts";

const TOKEN = /\{([a-z0-9_]+)\}/;
const OFF = new Set<unknown>(["none", 0]);
// Plain words for colours of CSS Color 4.
const COLOURS = {
  olivedrab: "olive",
  black: "black",
  saddlebrown: "brown",
  darkred: "dark red",
  goldenrod: "amber",
  darkorange: "orange",
  yellowgreen: "lime",
  hotpink: "pink",
  royalblue: "blue",
  indigo: "violet",
  slategray: "grey",
  ivory: "white",
};
const COLOUR: Schema = { title: "Colour", description: "Of the plastic.", enum: Object.keys(COLOURS), labels: COLOURS, default: "olivedrab" };
const AN = /^((8\d*|11|18)(\D|$)|[aeiou])/i;

export class Sentence {
  private shown: Shown[] = [];
  private conditions: { element: HTMLElement; holds(): boolean }[] = [];
  private plurals: { element: HTMLElement; path: string[]; schema: Schema }[] = [];
  private article: { element: HTMLElement; of: HTMLElement } | null = null;
  private drawnFor = "";

  constructor(
    private readonly state: State,
    private readonly line: HTMLElement,
    private readonly rest: HTMLElement,
  ) {
    state.onChange(() => this.refresh());
  }

  get values(): Shown[] {
    return this.shown;
  }

  /** The sentence as plain text. */
  get text(): string {
    const copy = this.line.cloneNode(true) as HTMLElement;
    for (const aside of copy.querySelectorAll(".dial, .fault, option:not(:checked)")) aside.remove();
    const lists = this.line.querySelectorAll("select");
    copy.querySelectorAll("select").forEach((list, index) => list.replaceWith(lists[index]!.selectedOptions[0]?.textContent ?? ""));
    return (copy.textContent ?? "").replace(/\s+/g, " ").trim();
  }

  refresh(): void {
    const { request } = this.state;
    const lists = Object.entries(request.params).map(([name, told]) => (Array.isArray(told) ? `${name}${told.length}` : ""));
    const drawn = request.style + lists.join("");
    if (drawn !== this.drawnFor) this.draw();
    this.drawnFor = drawn;
    for (const one of this.shown) one.refresh();
    for (const one of this.conditions) one.element.hidden = !one.holds();
    for (const one of this.plurals) one.element.hidden = Number(this.state.at(one.path, one.schema)) === 1;
    if (this.article) {
      const { element, of } = this.article;
      const first = of.querySelector("button")?.textContent ?? of.querySelector("select")?.selectedOptions[0]?.textContent ?? "";
      element.textContent = AN.test(first) ? "An " : "A ";
    }
  }

  private draw(): void {
    const { style } = this.state;
    this.shown = [];
    this.conditions = [];
    this.plurals = [];
    this.article = null;
    const declared = style.params_schema.properties ?? {};
    const used = new Set<string>();
    this.line.replaceChildren(...this.pieces(style.sentence ?? generic(style.title, declared, style.example.params), declared, used));
    this.line.append(", ", this.add(["plastic", "grade"], this.state.words.plastic.properties!["grade"]!));
    this.line.append(", ", this.add(["plastic", "salt_wt_pct"], this.state.words.plastic.properties!["salt_wt_pct"]!), " salt.");
    this.rest.replaceChildren(...this.others(declared, used));
  }

  private pieces(template: string, declared: Record<string, Schema>, used: Set<string>): (Node | string)[] {
    const made: (Node | string)[] = [];
    let last: string | null = null;
    for (const [index, part] of template.split(TOKEN).entries()) {
      if (index % 2 === 0) {
        for (const [at, text] of part.split("(s)").entries()) {
          if (at && last) made.push(this.plural(last, declared));
          made.push(text);
        }
        continue;
      }
      if (part === "style") made.push(this.styles());
      else {
        // What a house style holds fast is written into its sentence: whatever is named can be changed.
        used.add(part);
        last = part;
        made.push(this.add(["params", part], declared[part]!));
      }
    }
    if (made[0] === "A " && made[1] instanceof HTMLElement) {
      const element = el("span", {}, "A ");
      this.article = { element, of: made[1] };
      made[0] = element;
    }
    return made;
  }

  private plural(name: string, declared: Record<string, Schema>): HTMLElement {
    const element = el("span", {}, "s");
    this.plurals.push({ element, path: ["params", name], schema: declared[name]! });
    return element;
  }

  private styles(): HTMLElement {
    const { state } = this;
    const list = el("select", { class: "style", "aria-label": "Style" });
    for (const one of state.styles) {
      // A maker's own name for a style is a name, and keeps its capitals.
      list.append(el("option", { value: one.name }, one.base ? one.title : one.title.toLowerCase()));
    }
    list.value = state.style.name;
    list.style.setProperty("--letters", String(list.selectedOptions[0]?.textContent?.length ?? 8));
    list.addEventListener("change", () => {
      state.start(state.styles.find((one) => one.name === list.value)!);
      this.line.querySelector<HTMLSelectElement>("select.style")?.focus();
    });
    return el("span", { class: "value", "data-pointer": "/style" }, list);
  }

  private add(path: (string | number)[], schema: Schema): HTMLElement {
    const made = value(this.state, path, schema);
    this.shown.push(made);
    return made.element;
  }

  /** What the sentence leaves out, in the order of its declaration; what belongs to a part shows once there is that part. */
  private others(declared: Record<string, Schema>, used: Set<string>): Node[] {
    const { state } = this;
    const made: Node[] = [];
    const left = Object.entries(declared).filter(([name]) => !used.has(name));
    const phrase = (path: (string | number)[], schema: Schema): HTMLElement =>
      el("span", { class: "phrase" }, `${(schema.title ?? String(path.at(-1))).toLowerCase()} `, this.add(path, schema));
    for (const [name, schema] of left) {
      if (schema.type === "array") {
        made.push(this.rows(name, schema, phrase));
        continue;
      }
      const element = phrase(["params", name], schema);
      const part = Object.keys(declared).find((other) => name.startsWith(`${other}_`) && isPart(declared[other]!));
      if (part) this.conditions.push({ element, holds: () => !OFF.has(bare(state.at(["params", part], declared[part]))) });
      made.push(element);
    }
    for (const [name, schema] of Object.entries(state.words.plastic.properties ?? {})) {
      if (name === "grade" || name === "salt_wt_pct" || schema.minimum === undefined) continue;
      made.push(phrase(["plastic", name], schema));
    }
    made.push(phrase(["finish", "colour"], coloured(state.style)));
    return made;
  }

  private rows(name: string, schema: Schema, phrase: (path: (string | number)[], schema: Schema) => HTMLElement): HTMLElement {
    const { state } = this;
    const rows = (state.at(["params", name], schema) ?? []) as Record<string, unknown>[];
    const members = Object.entries(schema.items?.properties ?? {});
    const list = el("ul", { class: "rows", "aria-label": schema.title ?? name });
    const set = (next: unknown[]): void => state.set(["params", name], next);
    for (const [index] of rows.entries()) {
      const line = el("li", {});
      for (const [member, below] of members) line.append(phrase(["params", name, index, member], below));
      if (rows.length > (schema.minItems ?? 0)) {
        const words = `leave out ${String(rows[index]?.["kind"] ?? "this")}`;
        line.append(el("button", { type: "button", class: "act", click: () => set(rows.filter((_, other) => other !== index)) }, words));
      }
      list.append(line);
    }
    if (rows.length < (schema.maxItems ?? 20) && rows.length) {
      const again = (): void => set([...rows, structuredClone(rows.at(-1))]);
      list.append(el("li", {}, el("button", { type: "button", class: "act", click: again }, `another of the ${name}`)));
    }
    return list;
  }
}

/** A house style's colour is any at all, and has no word here. */
function coloured(style: Style): Schema {
  const own = style.definition?.finish?.["colour"];
  if (own === undefined) return COLOUR;
  return { ...COLOUR, enum: [own, ...COLOUR.enum!], labels: { ...COLOURS, [own]: "of the house" }, default: own };
}

function isPart(schema: Schema): boolean {
  return schema.enum?.includes("none") || (schema.anyOf?.[0] ?? schema).minimum === 0;
}

function bare(told: unknown): unknown {
  return typeof told === "string" && /^0+(\.0+)?( mm)?$/.test(told) ? 0 : told;
}

function generic(title: string, declared: Record<string, Schema>, example: Record<string, unknown> = {}): string {
  const named = Object.keys(declared).filter((name) => name in example && name !== "length");
  const start = declared["length"] ? "A {length} {style}" : `A {style}`;
  return [start, ...named.map((name) => `${(declared[name]!.title ?? name).toLowerCase()} {${name}}`)].join(", ") || title;
}
