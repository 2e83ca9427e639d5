// How the bait bends, from its own figures: a beam held at its nose, whose curvature anywhere is moment over stiffness.

import type { Metrics } from "./types.ts";

export const PLACES = 64;

export interface Beam {
  hold: number;
  end: number;
  /** Slope per unit of load at each of the places from hold to end: under its own weight, and under a force at the tip. */
  weight: Float64Array;
  tip: Float64Array;
}

/** `roll` in radians mixes the stiffness up and down with that from side to side. Null where there is no profile. */
export function beamOf(metrics: Metrics, roll: number): Beam | null {
  const profile = metrics.flex_profile;
  if (!profile || profile.length < 4) return null;
  const hold = metrics.hold_station_mm ?? profile[0]!.station_mm;
  const end = profile.at(-1)!.station_mm;
  const [c, s] = [Math.cos(roll) ** 2, Math.sin(roll) ** 2];
  const stiffness = profile.map((one) => Math.max(1e-6, one.up_down_n_mm2 * c + one.side_n_mm2 * s));
  const weight = new Float64Array(PLACES + 1);
  const tip = new Float64Array(PLACES + 1);
  const step = (end - hold) / PLACES;
  let at = 0;
  for (let n = 1; n <= PLACES; n++) {
    const x = hold + (n - 0.5) * step;
    while (at < profile.length - 2 && profile[at + 1]!.station_mm < x) at++;
    const left = end - x;
    weight[n] = weight[n - 1]! + ((left * left) / 2 / stiffness[at]!) * step;
    tip[n] = tip[n - 1]! + (left / stiffness[at]!) * step;
  }
  return { hold, end, weight, tip };
}

/** Slope at the tip, radians, brought about by `droop` degrees of hanging and a force of `millinewtons` at the tip. */
export function slopes(beam: Beam, droopDeg: number, millinewtons: number, into: Float32Array): void {
  const hang = ((droopDeg * Math.PI) / 180) / (beam.weight[PLACES] || 1);
  const push = millinewtons * 1e-3;
  const last = hang * beam.weight[PLACES]! + push * beam.tip[PLACES]!;
  // Small loads in proportion; a slope goes towards a right angle and a little beyond, never round.
  const most = 1.9;
  const soften = Math.abs(last) > 1e-9 ? (most * Math.tanh(last / most)) / last : 1;
  const exact = push === 0 ? 1 : soften;
  for (let n = 0; n <= PLACES; n++) into[n] = exact * (hang * beam.weight[n]! + push * beam.tip[n]!);
}

/** A quantity that swings to where it belongs and comes to rest. */
export class Swing {
  value = 0;
  private speed = 0;
  target = 0;

  constructor(
    private readonly hertz: number,
    private readonly damping: number,
  ) {}

  /** Whether it still moves. */
  step(seconds: number, rest: number): boolean {
    const omega = 2 * Math.PI * this.hertz;
    for (let left = Math.min(seconds, 0.1); left > 0; left -= 0.004) {
      const dt = Math.min(left, 0.004);
      this.speed += (omega * omega * (this.target - this.value) - 2 * this.damping * omega * this.speed) * dt;
      this.value += this.speed * dt;
    }
    if (Math.abs(this.value - this.target) < rest && Math.abs(this.speed) < rest * omega) {
      this.value = this.target;
      this.speed = 0;
      return false;
    }
    return true;
  }

  jump(): void {
    this.value = this.target;
    this.speed = 0;
  }
}
