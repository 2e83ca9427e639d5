// The joints off the trunk, on the same axis: a row for each kind of limb, a diamond where each joint lies along the bait.
// A left and a right are one mark, the weaker of the two; what would cover another stands one lane lower.

import type { Axis } from "./axis.ts";
import { el, svg } from "./dom.ts";
import { ALONG, VERDICTS } from "./joints.ts";
import type { Bait, Joint } from "./types.ts";
import { pull, short } from "./words.ts";

interface Mark {
  worst: Joint;
  names: Set<string>;
  count: number;
  x: number;
}

/** How many times what is asked the foot of a lane stands for: what holds more hangs there, with an arrow. */
const MOST = 2;
const LANE = 38;
const DEEP = 24;
const TOP = 3;
const R = 6;
/** From the middle of one mark to that of the next beside it. */
const APART = 2 * R + 3;
const LETTER = 6.9;
const LETTERED = 18;

export function offTrunk(bait: Bait): Joint[] {
  return bait.metrics.joints.filter((one) => !ALONG.has(one.strand));
}

/** "left leg 3", "leg 1" and "legs": what a row is called. */
function kindOf(strand: string): string {
  return strand.replace(/^(left|right|middle) /, "").replace(/ \d+$/, "");
}

export function drawLimbs(axis: Axis, bait: Bait, stale: boolean): Element[] {
  const rows = rowsOf(bait, axis);
  if (!rows.size) return [];
  const drawn: Element[] = [];
  let y = 0;
  for (const [kind, marks] of rows) y = drawRow(drawn, axis, kind, marks, y);
  return [
    el("p", { class: "quiet off" }, `Off the trunk: each diamond is a joint, a left and a right as one; the broken line is what is asked of it, an arrow more than twice that.`),
    svg("svg", { class: stale ? "limbs stale" : "limbs", width: axis.width, height: y, viewBox: `0 0 ${axis.width} ${y}`, role: "img", "aria-label": limbsInWords(bait) }, ...drawn),
  ];
}

function rowsOf(bait: Bait, axis: Axis): Map<string, Mark[]> {
  const places = new Map(bait.limb_places.map((one) => [one.joint, one.along_mm]));
  const rows = new Map<string, Map<string, Mark>>();
  for (const joint of offTrunk(bait)) {
    const along = places.get(joint.joint);
    if (along === undefined) continue;
    const row = rows.get(kindOf(joint.strand)) ?? new Map<string, Mark>();
    rows.set(kindOf(joint.strand), row);
    // A left and a right of a pair lie at one place, and so do the many tentacles that are told as one.
    const pair = `${joint.strand.replace(/^(left|right) /, "")} ${joint.kind} ${along.toFixed(2)}`;
    const mark = row.get(pair) ?? { worst: joint, names: new Set<string>(), count: 0, x: axis.x(along) };
    row.set(pair, mark);
    mark.names.add(joint.strand);
    mark.count++;
    if (share(joint) < share(mark.worst)) mark.worst = joint;
  }
  return new Map([...rows].map(([kind, row]) => [kind, [...row.values()].sort((a, b) => a.x - b.x)]));
}

const share = (joint: Joint): number => joint.pull_n / joint.limit_n;

/** Draws one row below `top` and tells where it ends. */
function drawRow(drawn: Element[], axis: Axis, kind: string, marks: Mark[], top: number): number {
  const worst = marks.reduce((a, b) => (share(b.worst) < share(a.worst) ? b : a)).worst;
  const words = `${kind}: ${short(worst.pull_n)} of ${pull(worst.limit_n)}, ${VERDICTS[worst.verdict]}`;
  const wide = words.length * LETTER;
  const [first, last] = [marks[0]!.x, marks.at(-1)!.x];
  const [left, right] = [axis.x(0), axis.width - 14];
  // Beside its marks where there is room for it, behind them first; else on a line of its own.
  const behind = right - last - 14 >= wide;
  const ahead = !behind && first - 14 - left >= wide;
  const begin = top + (behind || ahead ? 0 : LETTERED);
  const lanes: number[] = [];
  const hung: Element[] = [];
  for (const mark of marks) {
    let lane = lanes.findIndex((until) => mark.x - until >= APART);
    if (lane < 0) lane = lanes.push(0) - 1;
    lanes[lane] = mark.x;
    hung.push(drawMark(mark, begin + lane * LANE));
  }
  lanes.forEach((_, lane) => {
    const y = begin + lane * LANE + TOP;
    drawn.push(svg("path", { class: "level", d: `M${left} ${y}H${right}` }));
    drawn.push(svg("path", { class: "limit", d: `M${Math.min(...marks.map((one) => one.x)) - 10} ${y + DEEP / MOST}H${last + 10}` }));
  });
  const [x, anchor] = behind ? [last + 14, "start"] : ahead ? [first - 14, "end"] : [left, "start"];
  const line = behind || ahead ? begin + TOP + DEEP / MOST + 9 : top + 13;
  drawn.push(...hung, svg("text", { class: worst.verdict === "pass" ? "kind" : "kind short-of", x, y: line, "text-anchor": anchor }, words));
  return begin + lanes.length * LANE;
}

function drawMark(mark: Mark, top: number): Element {
  const { worst, x } = mark;
  const times = share(worst);
  const y = top + TOP + (Math.min(times, MOST) / MOST) * DEEP;
  const group = svg("g", { class: `limb ${worst.verdict}` }, svg("title", {}, titleOf(mark)));
  group.append(svg("path", { class: "thread", d: `M${x} ${top + TOP}V${y}` }));
  group.append(svg("path", { class: "diamond", d: `M${x} ${y - R}l${R} ${R}l${-R} ${R}l${-R} ${-R}z` }));
  if (worst.verdict === "fail") group.append(svg("path", { class: "short", d: `M${x - R / 2} ${y - R / 2}l${R} ${R}m0 ${-R}l${-R} ${R}` }));
  if (times > MOST) group.append(svg("path", { class: "more", d: `M${x - 4} ${y + R + 1}l4 4l4 -4` }));
  return group;
}

function titleOf({ worst, names, count }: Mark): string {
  const sides = names.size > 1 ? `left and right ${worst.strand.replace(/^(left|right) /, "")}` : worst.strand;
  const which = count > names.size ? `, the weakest of ${count} joints` : "";
  return `${sides}, ${worst.kind}${which}: holds ${pull(worst.pull_n)} (${short(worst.pull_low_n)} to ${short(worst.pull_high_n)}) of ${pull(worst.limit_n)} asked, ${VERDICTS[worst.verdict]}.`;
}

/** The same in a sentence, for those who listen: of each kind the weakest, both sides at once. */
export function limbsInWords(bait: Bait): string {
  const weakest = new Map<string, Joint>();
  for (const one of offTrunk(bait)) {
    const known = weakest.get(kindOf(one.strand));
    if (!known || share(one) < share(known)) weakest.set(kindOf(one.strand), one);
  }
  const all = [...weakest.values()].every((one) => one.verdict === "pass");
  const said = [...weakest].map(([name, one]) => `${name} ${short(one.pull_n)} of ${short(one.limit_n)} N${all ? "" : `, ${VERDICTS[one.verdict]}`}`);
  return `Off the trunk ${all ? "all hold" : "some fall short"}, at the weakest: ${said.join("; ")}.`;
}
