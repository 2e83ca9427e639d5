// The order slip, the files, and the request itself.

import { call, Problem } from "./api.ts";
import { el, tell } from "./dom.ts";
import type { State } from "./state.ts";
import type { Bait } from "./types.ts";
import { bytes, short } from "./words.ts";

export class Slip {
  private count = 50;
  private bait: Bait | null = null;
  private readonly said = el("p", { class: "slip-said" });
  private readonly figures = el("dl", {});
  private readonly counter = el("input", { type: "number", id: "count", min: 1, max: 100000, value: 50, "aria-label": "Count of baits" });

  constructor(
    host: HTMLElement,
    private readonly sentence: () => string,
  ) {
    this.counter.addEventListener("input", () => {
      this.count = Math.max(1, Math.min(100000, Math.round(Number(this.counter.value) || 1)));
      this.draw();
    });
    host.append(this.said, this.figures);
  }

  show(bait: Bait): void {
    this.bait = bait;
    this.draw();
  }

  private draw(): void {
    if (!this.bait) return;
    const { id, metrics } = this.bait;
    this.said.textContent = this.sentence();
    const row = (name: string, ...told: (Node | string)[]): HTMLElement => el("div", {}, el("dt", {}, name), el("dd", {}, ...told));
    const focused = document.activeElement === this.counter;
    const kg = (grams: number): string => (grams >= 1000 ? `${short(grams / 1000)} kg` : `${short(grams)} g`);
    this.figures.replaceChildren(
      row("Count", this.counter),
      row("Mass of one", `${short(metrics.mass_g)} g`, el("small", {}, ` ${short(metrics.mass_low_g)} to ${short(metrics.mass_high_g)}`)),
      row("Mass of all", kg(metrics.mass_g * this.count), el("small", {}, " without sprue or loss")),
      row("Bait", el("code", { title: id }, id.slice(0, 12)), " ", copier("copy the whole id", () => id)),
    );
    if (focused) this.counter.focus();
  }
}

export class Files {
  private id = "";
  private readonly list = el("ul", { class: "files" });
  private readonly said = el("p", { class: "quiet" });
  private readonly build = el("button", { type: "button", class: "act main", click: () => void this.make() }, "Build the files");

  constructor(
    private readonly state: State,
    host: HTMLElement,
  ) {
    this.said.textContent = "Mesh for printing a master, picture, figures; built in full detail when you ask for them.";
    host.append(this.build, this.said, this.list);
  }

  show(bait: Bait): void {
    if (this.id && this.id !== bait.id && this.list.childElementCount) {
      this.list.replaceChildren();
      this.said.textContent = "The bait has changed since; build its files anew.";
    }
    this.id = bait.id;
  }

  private async make(): Promise<void> {
    this.build.disabled = true;
    this.said.textContent = "Building …";
    try {
      let bait = await call<Bait>("POST", "/v1/baits", { ...this.state.request, outputs: ["stl", "3mf", "glb", "thumbnail", "plots"] }, { wait: 20 });
      for (let tries = 0; tries < 6 && (bait.status === "accepted" || bait.status === "running"); tries++) bait = await call<Bait>("GET", bait.links.self, undefined, { wait: 20 });
      if (bait.status !== "successful") throw new Problem(0, bait.problem?.detail ?? `It ended ${bait.status}.`);
      this.list.replaceChildren(...bait.files.map((file) => el("li", {}, el("a", { href: file.href, download: file.name }, file.name), el("small", {}, ` ${bytes(file.bytes)}`))));
      this.said.textContent = "The same request gives the same bytes, on any machine.";
      tell("The files are built.");
    } catch (reason) {
      this.said.textContent = reason instanceof Problem ? reason.message : "The files could not be built.";
    } finally {
      this.build.disabled = false;
    }
  }
}

export class Asked {
  private readonly json = el("pre", { tabindex: 0, "aria-label": "The request as JSON" });
  private readonly curl = el("pre", { tabindex: 0, "aria-label": "A command that sends it" });

  constructor(
    private readonly state: State,
    host: HTMLElement,
  ) {
    host.append(
      el("p", { class: "quiet" }, "All that this page knows of the bait. Send it yourself and the same bait comes back."),
      el("div", { class: "copied" }, this.json, copier("copy the request", () => this.json.textContent ?? "")),
      el("div", { class: "copied" }, this.curl, copier("copy the command", () => this.curl.textContent ?? "")),
    );
    state.onChange(() => this.draw());
    this.draw();
  }

  private draw(): void {
    const { request } = this.state;
    this.json.textContent = JSON.stringify(request, null, 2);
    const body = JSON.stringify(request).replaceAll("'", "'\\''");
    this.curl.textContent = `curl -s ${location.origin}/v1/estimates -H 'Content-Type: application/json' -d '${body}'`;
  }
}

function copier(words: string, text: () => string): HTMLElement {
  const button = el("button", { type: "button", class: "act" }, words);
  button.addEventListener("click", async () => {
    try {
      await navigator.clipboard.writeText(text());
      tell("Copied.");
      button.textContent = "copied";
    } catch {
      button.textContent = "not copied: select it instead";
    }
    window.setTimeout(() => (button.textContent = words), 1800);
  });
  return button;
}
