// The pull of every joint, hung from the rule at its station: so far down as it holds, against the line of what is asked.
// A joint that holds is a plain step; one that falls short is hatched and open at its end, and says so.

import type { Axis } from "./axis.ts";
import { el, svg } from "./dom.ts";
import { ofTrunk, tableOf, VERDICTS } from "./joints.ts";
import { drawLimbs, offTrunk } from "./limbs.ts";
import type { Bait, Joint, Metrics } from "./types.ts";
import { pounds, pull, short } from "./words.ts";

const HEIGHT = 190;
const TOP = 4;
const FOOT = 26;

/** Where it lies behind the foremost point, mm: beside that of a trunk that arches or begins further back its station says less. */
function place(joint: Joint): number {
  return joint.centre_mm?.[0] ?? joint.station_mm;
}

export function drawPulls(host: HTMLElement, axis: Axis, bait: Bait, stale: boolean): void {
  const joints = bait.metrics.joints.filter(ofTrunk).sort((a, b) => place(a) - place(b));
  const every = [...joints, ...offTrunk(bait)];
  host.replaceChildren(
    joints.length ? drawTrunk(axis, joints, bait.metrics.length_mm, stale) : el("p", { class: "quiet none" }, "It has no joint along its trunk: nothing narrows enough to be one."),
    ...drawLimbs(axis, bait, stale),
  );
  if (every.length) host.append(tableOf(every, new Map(bait.limb_places.map((one) => [one.joint, one.along_mm]))));
}

function drawTrunk(axis: Axis, joints: Joint[], length: number, stale: boolean): Element {
  const most = 1.12 * Math.max(...joints.map((one) => Math.max(one.pull_n, one.limit_n * 1.15)));
  const y = (newtons: number): number => TOP + (Math.min(newtons, most) / most) * (HEIGHT - TOP - FOOT);
  const drawn: Element[] = [patterns()];
  for (const level of levels(most)) {
    drawn.push(svg("path", { class: "level", d: `M${axis.x(0)} ${y(level)}H${axis.width - 14}` }));
    drawn.push(svg("text", { class: "scale", x: axis.x(0) - 6, y: y(level) + 4, "text-anchor": "end" }, short(level)));
  }
  const edges = stepEdges(joints, length);
  const limit: string[] = [];
  const held: Element[] = [];
  joints.forEach((one, index) => {
    const [from, to] = edges[index]!.map((mm) => axis.x(mm)) as [number, number];
    const middle = axis.x(place(one));
    const gap = Math.min(1.5, (to - from) / 8);
    const end = y(one.pull_n);
    const title = `${one.strand === "trunk" ? "Joint" : one.strand} ${one.joint}, ${short(one.station_mm)} mm from the nose: holds ${pull(one.pull_n)} (${short(one.pull_low_n)} to ${short(one.pull_high_n)}) of ${pull(one.limit_n)} asked, ${VERDICTS[one.verdict]}.`;
    const step = svg("g", { class: `step ${one.verdict}` }, svg("title", {}, title));
    step.append(svg("rect", { class: "body", x: from + gap, y: TOP, width: Math.max(1, to - from - 2 * gap), height: Math.max(1, end - TOP) }));
    const fill = one.verdict === "fail" ? "url(#hatch)" : one.verdict === "caution" ? "url(#dots)" : "none";
    step.append(svg("rect", { fill, x: from + gap, y: TOP, width: Math.max(1, to - from - 2 * gap), height: Math.max(1, end - TOP) }));
    step.append(svg("path", { class: "thread", d: `M${middle} ${TOP}V${end}` }));
    const r = Math.max(2.5, Math.min(6, (to - from) / 5));
    if (one.verdict === "fail") step.append(svg("path", { class: "short", d: `M${middle - r} ${end - r}l${2 * r} ${2 * r}m0 ${-2 * r}l${-2 * r} ${2 * r}` }));
    else step.append(svg("circle", { class: "weight", cx: middle, cy: end, r }));
    if (to - from > 44) held.push(svg("text", { class: "held", x: middle, y: Math.min(end + 18, HEIGHT - 4), "text-anchor": "middle" }, short(one.pull_n)));
    drawn.push(step);
    limit.push(`${index ? "L" : "M"}${from} ${y(one.limit_n)}H${to}`);
  });
  const asked = joints[0]!.limit_n;
  const right = axis.x(edges.at(-1)![1]);
  drawn.push(svg("path", { class: "limit", d: `${limit.join("")}` }), ...held);
  const label = `${pull(joints.at(-1)!.limit_n)} (${pounds(joints.at(-1)!.limit_n)}) asked`;
  const room = axis.width - right > 130;
  drawn.push(svg("text", { class: "asked", x: room ? right + 8 : right, y: y(joints.at(-1)!.limit_n) + (room ? 4 : 15), "text-anchor": room ? "start" : "end" }, label));
  const fails = joints.filter((one) => one.verdict === "fail").length;
  const summary = fails ? `${fails} of ${joints.length} joints fall short of the pull asked.` : `All ${joints.length} joints hold the pull asked, ${pull(asked)}.`;
  return svg("svg", { class: stale ? "stale" : undefined, width: axis.width, height: HEIGHT, viewBox: `0 0 ${axis.width} ${HEIGHT}`, role: "img", "aria-label": `The pull of every joint along its trunk in newtons. ${summary}` }, ...drawn);
}

export function weakestInWords(metrics: Metrics): string {
  const weak = metrics.weakest_joint;
  if (!weak) return "";
  return `It tears first at the ${where(weak)}: ${pull(weak.pull_n)} or ${pounds(weak.pull_n)}, likely ${short(weak.pull_low_n)} to ${short(weak.pull_high_n)} N. Asked there: ${pull(weak.limit_n)}.`;
}

function where(weak: Joint): string {
  const fromNose = `${short(weak.station_mm)} mm from the nose`;
  // What hollows leave: the wall of a tube, or one of its many tentacles.
  if (weak.kind === "ligament") return `${weak.strand}${ofTrunk(weak) ? "" : "s"}, ${fromNose}`;
  return `${weak.kind} ${ofTrunk(weak) ? fromNose : `of the ${weak.strand}`}`;
}

function stepEdges(joints: Joint[], length: number): [number, number][] {
  const at = joints.map(place);
  return at.map((x, index) => {
    const before = at[index - 1];
    const after = at[index + 1];
    const half = joints.length === 1 ? length * 0.04 : Math.min((after ?? x + length) - x, x - (before ?? x - length)) / 2;
    return [before === undefined || before === x ? x - half : (before + x) / 2, after === undefined || after === x ? x + half : (x + after) / 2];
  });
}

function levels(most: number): number[] {
  const rough = most / 4;
  const ten = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 5, 10].find((one) => one * ten >= rough)! * ten;
  return Array.from({ length: Math.floor(most / step) }, (_, index) => (index + 1) * step);
}

function patterns(): SVGElement {
  return svg(
    "defs",
    {},
    svg("pattern", { id: "hatch", width: 7, height: 7, patternUnits: "userSpaceOnUse", patternTransform: "rotate(45)" }, svg("path", { class: "hatching", d: "M0 0V7" })),
    svg("pattern", { id: "dots", width: 6, height: 6, patternUnits: "userSpaceOnUse" }, svg("circle", { class: "dotting", cx: 3, cy: 3, r: 1.2 })),
  );
}
