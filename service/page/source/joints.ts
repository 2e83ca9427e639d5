// Which joints hang below the rule itself, how each stands, and all of them as a table.

import { el } from "./dom.ts";
import type { Joint } from "./types.ts";
import { short } from "./words.ts";

export const VERDICTS: Record<string, string> = { pass: "holds", caution: "not quite", fail: "falls short" };
/** Named after what they are of: not of a limb, whose stations lie along the limb. */
export const ALONG = new Set(["trunk", "core", "wall"]);

export function ofTrunk(joint: Joint): boolean {
  return ALONG.has(joint.strand);
}

/** Of a limb, whose stations begin at its root, where it lies along the bait is told instead. */
export function tableOf(joints: Joint[], along: Map<number, number>): HTMLElement {
  const limbs = joints.some((one) => !ofTrunk(one));
  const rows = joints.map((one) =>
    el(
      "tr",
      {},
      el("td", {}, `${one.joint}`),
      limbs && el("td", {}, one.strand),
      el("td", {}, short(along.get(one.joint) ?? one.station_mm, 4)),
      el("td", {}, short(one.pull_n)),
      el("td", {}, `${short(one.pull_low_n)} to ${short(one.pull_high_n)}`),
      el("td", {}, short(one.limit_n)),
      el("td", {}, VERDICTS[one.verdict] ?? one.verdict),
    ),
  );
  const names = ["Joint", ...(limbs ? ["Of the"] : []), "mm from the nose", "Pull, N", "Likely, N", "Asked, N", "So it"];
  const head = names.map((one) => el("th", { scope: "col" }, one));
  return el("details", { class: "figures" }, el("summary", {}, "these pulls as a table"), el("table", {}, el("thead", {}, el("tr", {}, ...head)), el("tbody", {}, ...rows)));
}
