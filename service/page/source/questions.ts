// The checks as questions with answers, and what one click mends.

import { el, tell } from "./dom.ts";
import type { State } from "./state.ts";
import type { Bait, Check } from "./types.ts";
import { type Shown, value } from "./value.ts";

const MARK = { pass: "✓", caution: "~", fail: "✕" } as const;
const WORD = { pass: "Yes.", caution: "Not quite.", fail: "No." } as const;

export class Questions {
  readonly asked: Shown;
  private readonly list = el("ul", { class: "questions" });
  private before = new Map<string, Check["verdict"]>();

  constructor(
    private readonly state: State,
    host: HTMLElement,
  ) {
    this.asked = value(state, ["require", "joint_pull_n"], { default: 15, ...state.words.require.properties!["joint_pull_n"]!, maximum: 60 });
    host.append(this.list, el("p", { class: "ask" }, "Ask for ", this.asked.element, " of every joint of the trunk."));
    state.onChange(() => this.asked.refresh());
  }

  show(bait: Bait): void {
    // Nothing asked: what the service asks of a bait of this girth.
    const limit = bait.metrics.joints.find((one) => one.strand === "trunk")?.limit_n;
    const button = this.asked.element.querySelector("button");
    this.asked.refresh();
    if (button && limit && this.state.request.require?.["joint_pull_n"] === undefined) {
      button.textContent = `${limit} N`;
      const slider = this.asked.element.querySelector<HTMLInputElement>("input[type=range]");
      if (slider && document.activeElement !== slider) slider.value = String(limit);
    }
    const held = document.activeElement instanceof HTMLElement ? document.activeElement.dataset["remedy"] : undefined;
    this.list.replaceChildren(...bait.checks.map((check) => this.item(check)));
    if (held) (this.list.querySelector<HTMLElement>(`[data-remedy="${CSS.escape(held)}"]`) ?? this.list.querySelector<HTMLElement>(`[data-check="${CSS.escape(held.split(":")[0]!)}"]`))?.focus();
    this.tellChanges(bait.checks);
  }

  private item(check: Check): HTMLElement {
    const item = el("li", { class: `question ${check.verdict}`, "data-check": check.check, tabindex: -1 });
    item.append(
      el("span", { class: "mark", "aria-hidden": "true" }, MARK[check.verdict]),
      el("p", { class: "asks" }, this.state.words.questions[check.check] ?? check.check.replaceAll("_", " ")),
      el("p", { class: "answers" }, el("strong", {}, WORD[check.verdict]), ` ${check.text}`, check.silenced ? " (Not counted, as asked.)" : null),
    );
    if (check.remedies.length) {
      const line = el("p", { class: "remedies" }, "It would with ");
      check.remedies.forEach((remedy, index) => {
        if (index) line.append(index === check.remedies.length - 1 ? " or " : ", ");
        const take = (): void => this.state.merge(remedy.patch);
        line.append(el("button", { type: "button", class: "remedy", "data-remedy": `${check.check}:${index}`, click: take }, remedy.text));
      });
      line.append(".");
      item.append(line);
    }
    return item;
  }

  private tellChanges(checks: Check[]): void {
    for (const check of checks) {
      const before = this.before.get(check.check);
      if (before && before !== check.verdict) tell(`${this.state.words.questions[check.check] ?? check.check} ${WORD[check.verdict]} ${check.text}`);
    }
    this.before = new Map(checks.map((check) => [check.check, check.verdict]));
  }
}
