// The bench rule: boxwood, brass at its end, inches along the upper edge, millimetres along the lower.

import type { Axis } from "./axis.ts";
import { svg } from "./dom.ts";
import { MM_PER_INCH } from "./words.ts";

const HEIGHT = 58;

export function drawRule(host: HTMLElement, axis: Axis): void {
  if (axis.width < 100) return; // not laid out yet
  const marks: string[] = [];
  const numbers: SVGElement[] = [];
  const { end, width } = axis;
  // As fine as the eye can part them: four pixels at the least.
  const parts = [16, 8, 4, 2, 1].find((one) => (MM_PER_INCH / one) * axis.scale >= 4) ?? 1;
  for (let n = 0; n * (MM_PER_INCH / parts) <= end; n++) {
    const x = axis.x((n * MM_PER_INCH) / parts).toFixed(2);
    const size = n % parts === 0 ? 17 : (n * 2) % parts === 0 ? 13 : (n * 4) % parts === 0 ? 10 : (n * 8) % parts === 0 ? 7 : 5;
    marks.push(`M${x} 0v${size}`);
    if (n % parts === 0 && n > 0) numbers.push(svg("text", { x: Number(x) - 4, y: 25, class: "inch", "text-anchor": "end" }, String(n / parts)));
  }
  const fine = axis.scale >= 3.2 ? 1 : axis.scale >= 0.8 ? 5 : 10;
  for (let mm = 0; mm <= end; mm += fine) {
    const x = axis.x(mm).toFixed(2);
    marks.push(`M${x} ${HEIGHT}v${mm % 10 === 0 ? -13 : mm % 5 === 0 ? -9 : -5}`);
    const every = axis.scale >= 2.2 ? 10 : 50;
    if (mm % every === 0 && mm > 0) numbers.push(svg("text", { x: Number(x) - 3, y: HEIGHT - 12, class: "mm", "text-anchor": "end" }, String(mm)));
  }
  const drawn = svg(
    "svg",
    { width, height: HEIGHT, viewBox: `0 0 ${width} ${HEIGHT}` },
    svg("rect", { class: "wood", x: 8, y: 0, width: width - 16, height: HEIGHT, rx: 2 }),
    svg("path", { class: "grain", d: `M8 ${HEIGHT * 0.5}H${width - 8}M8 ${HEIGHT * 0.58}H${width - 8}M8 ${HEIGHT * 0.44}H${width - 8}` }),
    svg("rect", { class: "brass", x: 8, y: 0, width: 11, height: HEIGHT, rx: 2 }),
    svg("circle", { class: "pin", cx: 13.5, cy: HEIGHT / 2, r: 2.2 }),
    svg("path", { class: "marks", d: marks.join("") }),
    svg("text", { x: axis.x(0) + 5, y: HEIGHT / 2 + 3, class: "unit" }, "in · mm"),
    ...numbers,
  );
  host.replaceChildren(drawn);
}
