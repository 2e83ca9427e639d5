// One value in running text: a number opens into a slider where it stands, a choice is a list to pick from.

import { el } from "./dom.ts";
import type { State } from "./state.ts";
import type { Schema } from "./types.ts";
import { inches, MM_PER_INCH, millimetres, spoken } from "./words.ts";

export interface Shown {
  element: HTMLElement;
  pointer: string;
  /** Write what the state has now. */
  refresh(): void;
}

const EIGHTH = MM_PER_INCH / 8;

let open: { close(): void; holds(node: Node): boolean } | null = null;
document.addEventListener("pointerdown", (event) => {
  if (open && !open.holds(event.target as Node)) open.close();
});

export function pointerOf(path: (string | number)[]): string {
  return path.map((part) => `/${part}`).join("");
}

export function value(state: State, path: (string | number)[], schema: Schema): Shown {
  const element = el("span", { class: "value", "data-pointer": pointerOf(path) });
  if (schema.enum) return choice(state, path, schema, element);
  return number(state, path, schema, element);
}

function choice(state: State, path: (string | number)[], schema: Schema, element: HTMLElement): Shown {
  const list = el("select", { "aria-label": schema.title ?? "", title: schema.description ?? "" });
  for (const one of schema.enum ?? []) list.append(el("option", { value: one }, schema.labels?.[one] ?? one.replaceAll("_", " ")));
  list.addEventListener("change", () => state.set(path, list.value));
  element.append(list);
  const refresh = (): void => {
    list.value = String(state.at(path, schema) ?? "");
    list.style.setProperty("--letters", String(Math.max(3, list.selectedOptions[0]?.textContent?.length ?? 3)));
  };
  refresh();
  return { element, pointer: pointerOf(path), refresh };
}

function number(state: State, path: (string | number)[], schema: Schema, element: HTMLElement): Shown {
  const limits = schema.anyOf?.find((one) => one.type === "number") ?? schema;
  const unit = schema["x-unit"];
  const long = unit === "mm" && path.at(-1) === "length" && path.length === 2; // what a maker counts in eighths of an inch
  const step = long ? EIGHTH : (schema["x-step"] ?? 1);
  const name = schema.title ?? String(path.at(-1));
  const button = el("button", { type: "button", class: "number", "aria-expanded": "false", title: schema.description ?? "" });
  const least = long ? Math.ceil((limits.minimum ?? 0) / EIGHTH) * EIGHTH : (limits.minimum ?? 0);
  const slider = el("input", { type: "range", min: least, max: limits.maximum ?? 100, step, "aria-label": name });
  const typed = el("input", { type: "text", class: "typed", inputmode: long ? "text" : "decimal", "aria-label": `${name}, typed`, autocomplete: "off", spellcheck: "false" });
  const dial = el("span", { class: "dial", hidden: true }, slider, typed);
  element.append(button, dial);

  const amount = (): number => (unit === "mm" ? millimetres(state.at(path, schema)) : Number(state.at(path, schema)));
  const say = (): string => {
    const now = state.at(path, schema);
    if (long) return typeof now === "string" && !/^[\d.]+$/.test(now) ? now : inches(amount());
    return typeof now === "string" ? now : spoken(now, unit);
  };
  // The slider spans what a maker would reach for from here; the whole range is there to be typed.
  const most = limits.maximum ?? 100;
  const reach = (): void => {
    const usual = typeof schema.default === "number" ? schema.default : amount();
    const enough = Math.max(3 * amount(), 2 * usual);
    slider.max = String(least <= 0 || enough <= least || enough >= most ? most : Math.ceil(enough / step) * step);
  };
  const refresh = (): void => {
    if (document.activeElement !== slider) reach();
    button.textContent = say();
    button.setAttribute("aria-label", `${name}: ${say()}`);
    if (document.activeElement !== slider) slider.value = String(amount());
    slider.setAttribute("aria-valuetext", say());
    if (document.activeElement !== typed) typed.value = say();
  };
  const toggle = (show: boolean): void => {
    dial.hidden = !show;
    element.classList.toggle("open", show);
    button.setAttribute("aria-expanded", String(show));
    if (show) {
      open?.close();
      open = { close: () => toggle(false), holds: (node) => element.contains(node) };
      slider.focus();
    } else open = null;
  };
  button.addEventListener("click", () => toggle(element.classList.contains("open") === false));
  dial.addEventListener("keydown", (event) => {
    if (event.key !== "Escape" && !(event.key === "Enter" && event.target === slider)) return;
    toggle(false);
    button.focus();
  });
  element.addEventListener("focusout", (event) => {
    const next = (event as FocusEvent).relatedTarget as Node | null;
    if (next && !element.contains(next)) toggle(false);
  });
  slider.addEventListener("input", () => {
    const chosen = Number(slider.value);
    const decimals = (String(schema["x-step"] ?? 1).split(".")[1] ?? "").length;
    const tidy = Number(chosen.toFixed(decimals));
    state.set(path, long ? inches(chosen) : unit === "mm" ? `${tidy} mm` : tidy);
  });
  typed.addEventListener("change", () => {
    const text = typed.value.trim().replace("−", "-");
    const bare = /^-?\d+(\.\d+)?/.exec(text)?.[0];
    // A length is the service's to read, in any unit that it knows; other values are numbers.
    const isNumber = unit !== "mm" && bare !== undefined;
    state.set(path, isNumber ? Number(bare) : /^\d+(\.\d+)?$/.test(text) ? Number(text) : text);
  });
  refresh();
  return { element, pointer: pointerOf(path), refresh };
}
