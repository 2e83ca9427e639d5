// Elements without HTML text: nothing that the service answers is ever read as markup.

type Attributes = Record<string, string | number | boolean | ((event: Event) => void) | undefined>;
type Child = Node | string | null | undefined | false;

const SVG = "http://www.w3.org/2000/svg";

function fill<E extends Element>(made: E, attributes: Attributes, children: Child[]): E {
  for (const [name, value] of Object.entries(attributes)) {
    if (value === undefined || value === false) continue;
    if (typeof value === "function") made.addEventListener(name, value);
    else made.setAttribute(name, value === true ? "" : String(value));
  }
  for (const child of children) if (child) made.append(child);
  return made;
}

export function el<K extends keyof HTMLElementTagNameMap>(
  name: K,
  attributes: Attributes = {},
  ...children: Child[]
): HTMLElementTagNameMap[K] {
  return fill(document.createElement(name), attributes, children);
}

export function svg<K extends keyof SVGElementTagNameMap>(
  name: K,
  attributes: Attributes = {},
  ...children: Child[]
): SVGElementTagNameMap[K] {
  return fill(document.createElementNS(SVG, name), attributes, children);
}

export function byId(id: string): HTMLElement {
  const found = document.getElementById(id);
  if (!found) throw new Error(`the page has no ${id}`);
  return found;
}

/** Told to whoever listens to the page instead of seeing it. */
export function tell(sentence: string): void {
  byId("told").textContent = sentence;
}
