// The request that the page is about, sparse as a person would write it, and who wants to know when it changes.

import type { Bait, Request, Schema, Style, Value, Words } from "./types.ts";

type Path = (string | number)[];

export class State {
  request: Request;
  /** The last answer that there was; of an earlier request while `faults` or `away` say so. */
  bait: Bait | null = null;
  private listeners: (() => void)[] = [];

  constructor(
    readonly styles: Style[],
    readonly words: Words,
  ) {
    this.request = readAddress(styles) ?? startOf(styles.find((one) => one.name === "jointed_worm") ?? styles[0]!);
  }

  get style(): Style {
    return this.styles.find((one) => one.name === this.request.style) ?? this.styles[0]!;
  }

  onChange(listener: () => void): void {
    this.listeners.push(listener);
  }

  /** What stands in the request, else in the last answer's normal form, else in the declaration. */
  at(path: Path, schema?: Schema): unknown {
    return look(this.request, path) ?? look(this.bait?.request.style === this.request.style ? this.bait.request : {}, path) ?? schema?.default;
  }

  set(path: Path, value: unknown): void {
    // Of a list that the request leaves out, the whole list is written, as it was answered.
    const list = path.findIndex((part) => typeof part === "number");
    const start = list < 0 ? this.request : put(this.request, path.slice(0, list), structuredClone(this.at(path.slice(0, list))));
    this.request = put(start, path, value) as Request;
    this.changed();
  }

  /** A remedy's patch (RFC 7396). */
  merge(patch: unknown): void {
    this.request = mergePatch(this.request, patch) as Request;
    this.changed();
  }

  start(style: Style): void {
    this.request = startOf(style);
    this.changed();
  }

  private changed(): void {
    history.replaceState(null, "", `#${encodeURIComponent(JSON.stringify(this.request))}`);
    for (const listener of this.listeners) listener();
  }
}

function startOf(style: Style): Request {
  const { label: _, outputs: __, ...example } = structuredClone(style.example);
  // What a house style brings stands where the request says nothing.
  const { plastic, finish } = style.definition ?? {};
  const ours: Record<string, Value> = plastic?.["grade"] || plastic?.["name"] ? {} : { grade: "soft" };
  const colour: Record<string, Value> = finish?.["colour"] ? {} : { colour: "olivedrab" };
  return { ...example, style: style.name, params: example.params ?? {}, plastic: { ...ours, ...example.plastic }, finish: colour };
}

function readAddress(styles: Style[]): Request | null {
  try {
    const told = JSON.parse(decodeURIComponent(location.hash.slice(1))) as Request;
    return styles.some((one) => one.name === told.style) && typeof told.params === "object" && told.params ? told : null;
  } catch {
    return null;
  }
}

function look(from: unknown, path: Path): unknown {
  let found: unknown = from;
  for (const part of path) {
    if (typeof found !== "object" || found === null) return undefined;
    found = (found as Record<string | number, unknown>)[part];
  }
  return found;
}

function put(into: unknown, path: Path, value: unknown): unknown {
  const [first, ...rest] = path;
  if (first === undefined) return value;
  if (Array.isArray(into)) return into.map((one, index) => (index === first ? put(one, rest, value) : one));
  const members = (typeof into === "object" && into !== null ? into : {}) as Record<string, unknown>;
  return { ...members, [first]: put(members[first], rest, value) };
}

function mergePatch(target: unknown, patch: unknown): unknown {
  if (typeof patch !== "object" || patch === null || Array.isArray(patch)) return patch;
  const merged: Record<string, unknown> = typeof target === "object" && target !== null && !Array.isArray(target) ? { ...(target as object) } : {};
  for (const [name, value] of Object.entries(patch)) {
    if (value === null) delete merged[name];
    else merged[name] = mergePatch(merged[name], value);
  }
  return merged;
}
