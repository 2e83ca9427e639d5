// The request that the page is about, sparse as a person would write it, and who wants to know when it changes.

import type { Bait, Request, Schema, Style, Value, Words } from "./types.ts";

type Path = (string | number)[];

const AT_REST_MS = 200;

export class State {
  request: Request;
  /** The last answer that there was; of an earlier request while `faults` or `away` say so. */
  bait: Bait | null = null;
  /** Why the request that the address brought is not the one shown; until the first change, which writes the address anew. */
  unread = "";
  private listeners: (() => void)[] = [];
  private writing = 0;

  constructor(
    readonly styles: Style[],
    readonly words: Words,
  ) {
    const brought = readAddress(styles);
    if (typeof brought === "string") this.unread = brought;
    this.request = typeof brought === "object" ? brought : startOf(styles.find((one) => one.name === "jointed_worm") ?? styles[0]!);
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
    this.unread = "";
    for (const listener of this.listeners) listener();
    // Once it rests: a slider says more changes a second than some browsers let be written, and there the call throws.
    window.clearTimeout(this.writing);
    this.writing = window.setTimeout(() => history.replaceState(null, "", `#${encodeURIComponent(JSON.stringify(this.request))}`), AT_REST_MS);
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

/** The request in the address; a sentence where there is one that the page cannot show; nothing where there is none. */
function readAddress(styles: Style[]): Request | string | undefined {
  if (location.hash.length < 2) return undefined;
  let told: Partial<Request> | null;
  try {
    told = JSON.parse(decodeURIComponent(location.hash.slice(1))) as typeof told;
  } catch {
    return "The address holds no request that can be read; here is a bait to begin with.";
  }
  if (styles.some((one) => one.name === told?.style)) {
    const params = told?.params ?? {};
    if (typeof params === "object" && !Array.isArray(params)) return { ...(told as Request), params };
  }
  const why = told?.["house_style"]
    ? "brings a house style of its own, and this page opens those that the service keeps"
    : told?.["strands"]
      ? "draws its own strands, which no sentence says"
      : "is in no style that the service has";
  return `The request in the address ${why}. It can be sent as it is (POST /v1/baits); here is a bait to begin with.`;
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
