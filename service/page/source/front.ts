// The front: the baits of this style that no other beats on both pull and flexibility, found by a small fit and picked here.

import { call, Problem } from "./api.ts";
import { el, svg, tell } from "./dom.ts";
import type { State } from "./state.ts";
import type { Bait, Schema } from "./types.ts";
import { millimetres, pounds, pull, short } from "./words.ts";

interface Point {
  pull: number;
  flexibility: number;
  meets: boolean;
  free: Record<string, number>;
  text: string;
}

interface Fit {
  status: string;
  answer: { front: { points: Point[] } | null } | null;
  problem?: { detail: string };
  links: { self: string };
}

const SIZE = { height: 300, left: 44, right: 16, top: 22, bottom: 42 };
const WIDEST = 620;
const EVALUATIONS = 60;
/** What a bait bends more easily than its plain rod by, for which nobody would cut a rib. */
const SMOOTH = 0.005;

export class Front {
  private points: Point[] = [];
  private of = "";
  private busy = false;
  private readonly plot = el("div", { class: "plot" });
  private readonly said = el("p", { class: "quiet" });
  private readonly again = el("button", { type: "button", class: "act", click: () => void this.look() }, "Look for it");
  private bait: Bait | null = null;

  constructor(
    private readonly state: State,
    host: HTMLElement,
  ) {
    host.append(this.plot, this.said, this.again);
    // Looked for once by itself, when it comes into sight; later only when it is asked for, for it costs the service a second.
    const seen = new IntersectionObserver((entries) => {
      if (!entries.some((one) => one.isIntersecting) || !this.bait) return;
      seen.disconnect();
      void this.look();
    });
    seen.observe(host);
    this.watch = () => {
      seen.unobserve(host);
      if (!this.of && !this.busy) seen.observe(host);
    };
    new ResizeObserver(() => this.draw()).observe(host);
    this.draw();
  }

  private readonly watch: () => void;

  show(bait: Bait): void {
    const first = !this.bait;
    this.bait = bait;
    if (first) this.watch();
    this.draw();
  }

  /** Two numbers that may change, those that make joints hold more before others, each within reach of what it is now. */
  private free(): Record<string, { minimum: number; maximum: number }> {
    const declared = this.state.style.params_schema.properties ?? {};
    const { name: style, base, sentence = "" } = this.state.style;
    const said = sentence.match(/\{[a-z0-9_]+\}/g)?.map((one) => one.slice(1, -1)) ?? [];
    const { firmer } = this.state.words;
    const found: Record<string, { minimum: number; maximum: number }> = {};
    const firm = firmer[style] ?? firmer[base ?? ""] ?? [];
    for (const name of new Set([...firm.filter((one) => said.includes(one)), ...firm, ...said])) {
      const schema = declared[name];
      if (!schema || name === "length" || Object.keys(found).length === 2) continue;
      const range = within(schema, this.state.at(["params", name], schema));
      if (range) found[name] = range;
    }
    return found;
  }

  private async look(): Promise<void> {
    if (this.busy) return;
    this.busy = true;
    this.again.disabled = true;
    const free = this.free();
    // Judged as the bait itself is: all that its request says of plastic, water, rig and checks.
    const { style, params, house_style, plastic, require, rig, water, checks } = this.state.request;
    const fixed = Object.fromEntries(Object.entries(params).filter(([name]) => !(name in free)));
    this.said.textContent = "Looking for the baits that no other beats on both …";
    try {
      const asked = { style, params: fixed, house_style, plastic, require, rig, water, checks, free, goal: "greatest_flexibility", front: { points: 9 }, evaluations: EVALUATIONS };
      let fit = await call<Fit>("POST", "/v1/fits", asked, { wait: 20 });
      for (let tries = 0; tries < 6 && (fit.status === "accepted" || fit.status === "running"); tries++) fit = await call<Fit>("GET", fit.links.self, undefined, { wait: 20 });
      this.points = fit.answer?.front?.points ?? [];
      this.of = style;
      this.said.textContent = this.points.length ? this.caption(free) : (fit.problem?.detail ?? "No bait within reach passes its checks; mend it first.");
    } catch (reason) {
      this.said.textContent = reason instanceof Problem ? reason.message : "The front could not be looked for.";
    } finally {
      this.busy = false;
      this.again.disabled = false;
      this.again.textContent = "Look again from here";
      this.draw();
    }
  }

  private caption(free: Record<string, unknown>): string {
    const declared = this.state.style.params_schema.properties ?? {};
    const names = Object.keys(free).map((name) => (declared[name]?.title ?? name).toLowerCase());
    if (this.points.every((one) => Math.abs(one.flexibility - 1) < SMOOTH))
      return `A smooth body bends like the plain rod that it is compared with: with another ${names.join(" and ")} it holds more or less, and bends no more easily for it.`;
    return `Each point is a bait with another ${names.join(" and ")}; nothing found holds more and bends more than it. Pick one.`;
  }

  private draw(): void {
    if (this.of !== this.state.request.style) this.points = this.of ? [] : this.points;
    const { height, left, right, top, bottom } = SIZE;
    const width = Math.max(240, Math.min(WIDEST, this.plot.clientWidth));
    const now = this.bait && this.bait.metrics.weakest_joint && this.bait.metrics.flexibility_ratio ? { pull: Math.min(...this.bait.metrics.joints.filter((one) => one.strand === "trunk").map((one) => one.pull_n)), flexibility: this.bait.metrics.flexibility_ratio } : null;
    // A search of so few finds not all: what this bait beats on both, and that does not pass where this does not, is on no front.
    const passes = this.bait?.checks.every((one) => one.verdict === "pass" || one.silenced) ?? false;
    const points = this.points.filter((one) => !(now && now.pull > one.pull && now.flexibility > one.flexibility && (passes || !one.meets)));
    const all = [...points, ...(now && Number.isFinite(now.pull) ? [now] : [])];
    const most = { pull: 1.1 * Math.max(1, ...all.map((one) => one.pull)), flexibility: 1.1 * Math.max(1.2, ...all.map((one) => one.flexibility)) };
    const x = (value: number): number => left + (value / most.pull) * (width - left - right);
    const y = (value: number): number => height - bottom - (value / most.flexibility) * (height - top - bottom);
    const drawn = svg("svg", { viewBox: `0 0 ${width} ${height}`, width, height, role: "group", "aria-label": "Pull of the trunk against flexibility ratio" });
    drawn.append(svg("path", { class: "frame", d: `M${left} ${top}V${height - bottom}H${width - right}` }));
    drawn.append(svg("text", { class: "scale", x: width - right, y: height - 8, "text-anchor": "end" }, "holds more, N →"));
    drawn.append(svg("text", { class: "scale", x: left - 36, y: 12 }, "↑ bends more easily, times a plain rod"));
    for (const one of ticks(most.pull)) drawn.append(svg("path", { class: "frame", d: `M${x(one)} ${height - bottom}v5` }), svg("text", { class: "scale", x: x(one), y: height - bottom + 17, "text-anchor": "middle" }, short(one)));
    for (const one of ticks(most.flexibility)) drawn.append(svg("path", { class: "frame", d: `M${left} ${y(one)}h-5` }), svg("text", { class: "scale", x: left - 8, y: y(one) + 4, "text-anchor": "end" }, short(one)));
    const sorted = [...points].sort((a, b) => a.pull - b.pull);
    if (sorted.length > 1) drawn.append(svg("path", { class: "curve", d: sorted.map((one, index) => `${index ? "L" : "M"}${x(one.pull).toFixed(1)} ${y(one.flexibility).toFixed(1)}`).join("") }));
    for (const one of sorted) {
      const name = `${one.text} ${one.meets ? "It meets what is asked." : "It does not meet all that is asked."}`;
      const take = (): void => {
        this.state.merge({ params: one.free });
        tell(`Taken: ${one.text}`);
      };
      const key = (event: Event): void => {
        const { key: pressed } = event as KeyboardEvent;
        if (pressed !== "Enter" && pressed !== " ") return;
        event.preventDefault();
        take();
      };
      drawn.append(
        svg("g", { class: `point ${one.meets ? "meets" : "misses"}`, tabindex: 0, role: "button", "aria-label": name, click: take, keydown: key }, svg("title", {}, name), svg("circle", { class: "reach", cx: x(one.pull), cy: y(one.flexibility), r: 14 }), one.meets ? svg("circle", { class: "dot", cx: x(one.pull), cy: y(one.flexibility), r: 6 }) : svg("path", { class: "cross", d: `M${x(one.pull) - 5} ${y(one.flexibility) - 5}l10 10m0 -10l-10 10` })),
      );
    }
    if (now && Number.isFinite(now.pull)) {
      const start = x(now.pull) < left + 80;
      drawn.append(
        svg("path", { class: "now", d: `M${x(now.pull)} ${y(now.flexibility) - 9}l9 9l-9 9l-9 -9Z` }, svg("title", {}, `This bait: ${pull(now.pull)} (${pounds(now.pull)}), ${short(now.flexibility)} times a plain rod`)),
        // What holds less and bends less than this bait is on no front: there is room for words.
        svg("text", { class: "here", x: x(now.pull) + (start ? 12 : -12), y: y(now.flexibility) + 20, "text-anchor": start ? "start" : "end" }, "this bait"),
      );
    }
    this.plot.replaceChildren(drawn);
  }
}

function within(schema: Schema, told: unknown): { minimum: number; maximum: number } | null {
  const limits = schema.anyOf?.[0] ?? schema;
  if (limits.minimum === undefined || limits.maximum === undefined) return null;
  const now = schema["x-unit"] === "mm" ? millimetres(told) : Number(told);
  if (!Number.isFinite(now)) return null;
  const whole = schema.type === "integer";
  const tidy = (value: number, round: (value: number) => number): number => (whole ? round(value) : Number(value.toFixed(3)));
  const minimum = Math.max(limits.minimum, tidy(now * 0.6, Math.floor));
  const maximum = Math.min(limits.maximum, Math.max(tidy(now * 1.5, Math.ceil), minimum + (whole ? 2 : 0)));
  return maximum > minimum ? { minimum, maximum } : null;
}

function ticks(most: number): number[] {
  const rough = most / 5;
  const ten = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 5, 10].find((one) => one * ten >= rough)! * ten;
  return Array.from({ length: Math.floor(most / step) }, (_, index) => (index + 1) * step);
}
