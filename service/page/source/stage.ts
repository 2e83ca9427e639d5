// Where the bait lies: it is turned by hand, and hangs and flicks by its own figures.

import { fetchBytes } from "./api.ts";
import { type Axis, HANGING } from "./axis.ts";
import { byId, el, tell } from "./dom.ts";
import { beamOf, PLACES, slopes, Swing } from "./motion.ts";
import type { Solid } from "./solid.ts";
import type { Bait, Metrics } from "./types.ts";
import { short } from "./words.ts";

const POSES = ["bench", "fresh_water", "salt_water", "air"] as const;
type Pose = (typeof POSES)[number];
const WORDS: Record<Pose, string> = { bench: "lies on the bench", fresh_water: "hangs in fresh water", salt_water: "hangs in salt water", air: "hangs in air" };
const FLICK_MN = 0.2;
const AROUND = 18; // pixels above and below the bait
const STEP = Math.PI / 18;
/** Seen a little from above its side; what is wider than high, a little from behind its back. */
const FROM_SIDE = 0.42;
const FROM_ABOVE = 0.98;

export class Stage {
  private readonly host = byId("stage");
  private readonly note = byId("stage-note");
  private solid: Solid | null = null;
  private picture: HTMLImageElement | null = null;
  private metrics: Metrics | null = null;
  private roll = FROM_SIDE;
  private home = FROM_SIDE;
  private pose: Pose = "bench";
  private readonly turn = new Swing(2.2, 0.9);
  private readonly hang = new Swing(0.9, 0.42);
  private readonly flick = new Swing(1.7, 0.13);
  private readonly still = window.matchMedia("(prefers-reduced-motion: reduce)");
  private readonly slope = new Float32Array(PLACES + 1);
  private style = "";
  private drawn = "";
  private frame = 0;
  private before = 0;
  private readonly buttons = new Map<Pose, HTMLButtonElement>();
  private readonly told = el("span", { class: "figure" });
  private why = "";
  firstSolidMs = 0;

  /** `stopped`: what to do when the browser draws no more, after it did. */
  constructor(
    private readonly axis: Axis,
    private readonly stopped: () => void,
  ) {
    axis.onChange(() => this.layOut());
    this.listen();
    const poses = byId("poses");
    poses.append("It ");
    for (const pose of POSES) {
      const button = el("button", { type: "button", class: "pose", "aria-pressed": String(pose === "bench"), click: () => this.take(pose) }, WORDS[pose]);
      this.buttons.set(pose, button);
      poses.append(el("span", { class: "together" }, button, pose === "air" ? "." : ","), " ");
    }
    const flick = el("button", { type: "button", class: "pose", click: () => this.doFlick() }, "Flick its tail");
    poses.append(el("span", { class: "together" }, flick, "."), " Drag it to turn it. ", this.told);
  }

  async open(): Promise<void> {
    try {
      const { Solid } = await import("./solid.ts");
      // A phone takes the graphics away from a page that was long out of sight.
      this.solid = new Solid(() => {
        this.flatten("This browser has stopped drawing solids, so here is a picture, not to the rule's scale. Load the page again to turn the bait.");
        this.stopped();
      });
      this.solid.canvas.setAttribute("aria-hidden", "true");
      this.host.prepend(this.solid.canvas);
    } catch {
      this.flatten("This browser draws no solids, so here is a picture, not to the rule's scale.");
    }
  }

  /** Whether pictures have to do instead of solids. */
  get flat(): boolean {
    return this.why !== "";
  }

  private flatten(why: string): void {
    this.why = why;
    this.solid?.dispose();
    this.solid = null;
    this.host.classList.add("flat");
    this.host.classList.remove("filled");
    this.host.style.height = "";
    // Nothing is left to turn, by hand or by key.
    this.host.setAttribute("role", "group");
    this.host.removeAttribute("tabindex");
    this.host.removeAttribute("aria-describedby");
    byId("stage-help").remove();
    byId("poses").hidden = true;
  }

  async show(bait: Bait, signal: AbortSignal): Promise<void> {
    const { solid } = this;
    if (!solid) {
      const file = bait.files.find((one) => one.name.endsWith(".webp")) ?? bait.files.find((one) => one.media_type.startsWith("image/"));
      if (!file) return;
      this.picture ??= this.host.insertBefore(el("img", {}), this.note);
      this.picture.alt = "The bait as the service pictures it";
      this.picture.src = file.href;
      this.say(this.why);
      this.host.dataset["shows"] = bait.id;
      return;
    }
    const file = bait.files.find((one) => one.output === "glb");
    if (!file) return;
    const bytes = await fetchBytes(file.href, signal);
    await solid.show(bytes);
    if (this.flat) return;
    this.metrics = bait.metrics;
    if (bait.request.style !== this.style) {
      this.style = bait.request.style;
      const { side, up } = solid.extent;
      this.home = this.roll = side > 1.3 * up ? FROM_ABOVE : FROM_SIDE;
      this.turn.target = this.home;
      this.turn.jump();
    }
    if (!this.firstSolidMs) this.firstSolidMs = performance.now();
    this.host.dataset["shows"] = bait.id;
    this.host.dataset["firstSolidMs"] = this.firstSolidMs.toFixed(0);
    this.settle();
  }

  /** Figures have come: they move the bait, and may come before its solid. */
  figures(metrics: Metrics): void {
    this.metrics = metrics;
    this.settle();
  }

  say(sentence: string): void {
    this.note.textContent = sentence;
  }

  private settle(): void {
    this.aim();
    this.fit();
    this.layOut();
  }

  private fit(): void {
    if (!this.metrics) return;
    const reach = this.solid?.filled ? this.solid.reach(this.home) : null;
    const beam = beamOf(this.metrics, this.home);
    const hanging = this.reach(beam?.hold ?? 0, beam?.end ?? this.metrics.length_mm, this.hang.target);
    if (!reach) this.axis.fit(this.metrics.length_mm, this.metrics.max_height_mm);
    else if (hanging.below === -Infinity) this.axis.fit(this.metrics.length_mm, reach.above + reach.below);
    else this.axis.fit(this.metrics.length_mm, Math.max(reach.above, hanging.above + reach.above) + Math.max(reach.below, hanging.below + reach.below), HANGING);
  }

  private take(pose: Pose): void {
    this.pose = pose;
    for (const [name, button] of this.buttons) button.setAttribute("aria-pressed", String(name === pose));
    this.settle();
    const droop = pose === "bench" ? null : this.metrics?.droop_tip_deg?.[pose];
    this.told.textContent =
      pose === "bench" || droop == null ? "" : `Held level by its nose, its tip ${droop < 0 ? "rises" : "droops"} ${short(Math.abs(droop), 2)}° by beam theory.`;
    tell(`It ${WORDS[pose]}. ${this.told.textContent}`);
  }

  private doFlick(): void {
    const give = this.metrics?.tip_give_mm_per_mn?.up_down;
    if (give == null) return;
    this.told.textContent = `A push of ${FLICK_MN} mN at its tip moves it ${short(give * FLICK_MN, 2)} mm.`;
    tell(this.told.textContent);
    if (this.still.matches) return;
    this.flick.value = FLICK_MN;
    this.animate();
  }

  private aim(): void {
    this.hang.target = this.pose === "bench" ? 0 : (this.metrics?.droop_tip_deg?.[this.pose] ?? 0);
    if (this.still.matches) {
      this.hang.jump();
      this.turn.jump();
    }
    this.animate();
  }

  private animate(): void {
    if (this.frame) return;
    this.before = performance.now();
    const next = (now: number): void => {
      const seconds = (now - this.before) / 1000;
      this.before = now;
      const moves = [this.turn.step(seconds, 0.002), this.hang.step(seconds, 0.05), this.flick.step(seconds, 0.002)];
      this.roll = this.turn.value;
      this.layOut();
      this.frame = moves.some(Boolean) ? requestAnimationFrame(next) : 0;
    };
    this.frame = requestAnimationFrame(next);
  }

  /** Put the bait above the rule, with room for how far it reaches up and down as it hangs now. */
  private layOut(): void {
    if (!this.solid?.filled || !this.metrics || this.axis.width < 100) return;
    const { axis } = this;
    const beam = beamOf(this.metrics, this.roll);
    this.slope.fill(0);
    if (beam) slopes(beam, this.hang.value, this.flick.value, this.slope);
    const hold = beam?.hold ?? 0;
    const end = beam?.end ?? this.metrics.length_mm;
    const [lying, turned] = [this.solid.reach(this.home), this.solid.reach(this.roll)];
    const hanging = this.reach(hold, end, this.hang.target);
    const above = AROUND + axis.scale * Math.max(lying.above, turned.above, hanging.above + turned.above);
    const below = AROUND * 0.5 + axis.scale * Math.max(lying.below, turned.below, hanging.below + turned.below);
    const height = Math.round(above + below);
    this.host.classList.add("filled");
    if (this.host.style.height !== `${height}px`) this.host.style.height = `${height}px`;
    // A figure that came alone changes no pixel of the solid: it is drawn when what it shows has changed.
    const bent = this.slope[PLACES] ? `${hold} ${end} ${this.slope[PLACES]} ${this.slope[PLACES >> 1]}` : "";
    const picture = `${this.solid.version} ${axis.width} ${height} ${axis.scale} ${above} ${this.roll} ${bent}`;
    if (picture === this.drawn) return;
    this.drawn = picture;
    this.solid.draw(axis.width, height, axis.x(0), axis.scale, above, this.roll, hold, end, this.slope);
  }

  /** How far the middle line rises and comes down where it is going to hang, mm. */
  private reach(hold: number, end: number, droop: number): { above: number; below: number } {
    const beam = this.metrics && beamOf(this.metrics, this.home);
    if (!beam || droop === 0) return { above: -Infinity, below: -Infinity };
    const there = new Float32Array(PLACES + 1);
    slopes(beam, droop, 0, there);
    let [y, highest, lowest] = [0, 0, 0];
    for (let n = 0; n <= PLACES; n++) {
      const on = n < PLACES ? (end - hold) / PLACES : Math.max(0, this.metrics!.length_mm - end);
      y += Math.sin(there[n]!) * on;
      highest = Math.min(highest, y);
      lowest = Math.max(lowest, y);
    }
    return { above: -highest, below: lowest };
  }

  private listen(): void {
    let from: { y: number; roll: number } | null = null;
    this.host.addEventListener("pointerdown", (event) => {
      from = { y: event.clientY, roll: this.roll };
      this.host.setPointerCapture(event.pointerId);
    });
    this.host.addEventListener("pointermove", (event) => {
      if (!from) return;
      this.turnTo(from.roll + (event.clientY - from.y) / 90, false);
    });
    for (const ended of ["pointerup", "pointercancel"]) this.host.addEventListener(ended, () => (from = null));
    this.host.addEventListener("keydown", (event) => {
      const by = { ArrowUp: -STEP, ArrowDown: STEP }[event.key];
      if (by === undefined && event.key !== "Home") return;
      event.preventDefault();
      this.turnTo(by === undefined ? this.home : this.turn.target + by, true);
    });
  }

  private turnTo(roll: number, gently: boolean): void {
    this.turn.target = roll;
    this.host.dataset["turned"] = ((roll - this.home) * (180 / Math.PI)).toFixed(0);
    if (!gently || this.still.matches) this.turn.jump();
    this.animate();
  }
}
