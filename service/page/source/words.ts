// Numbers as a maker says them.

const SIXTEENTHS = 16;
export const MM_PER_INCH = 25.4;
export const N_PER_POUND = 4.4482216152605; // pound-force (NIST SP 811, appendix B.8)

/** 114.3 -> "4-1/2 in": to the nearest sixteenth. */
export function inches(mm: number): string {
  const parts = Math.round((mm / MM_PER_INCH) * SIXTEENTHS);
  const whole = Math.floor(parts / SIXTEENTHS);
  let above = parts % SIXTEENTHS;
  let below = SIXTEENTHS;
  while (above && above % 2 === 0) {
    above /= 2;
    below /= 2;
  }
  if (!above) return `${whole} in`;
  return whole ? `${whole}-${above}/${below} in` : `${above}/${below} in`;
}

/** At most `digits` significant ones, without an exponent and without noughts at the end. */
export function short(value: number, digits = 3): string {
  if (!Number.isFinite(value)) return "–";
  const whole = Math.abs(value) >= 10 ** (digits - 1);
  const text = whole ? value.toFixed(0) : value.toPrecision(digits);
  const plain = text.includes("e") ? String(Number(text)) : text;
  return (plain.includes(".") ? plain.replace(/\.?0+$/, "") : plain).replace("-", "−");
}

export function pull(newtons: number): string {
  return `${short(newtons)} N`;
}

export function pounds(newtons: number): string {
  return `${short(newtons / N_PER_POUND, 2)} lb`;
}

export function bytes(count: number): string {
  return count < 1e6 ? `${Math.max(1, Math.round(count / 1000))} kB` : `${(count / 1e6).toFixed(1)} MB`;
}

const UNITS: Record<string, string> = { deg: "°", "%": " %" };

/** A value with its unit, as it stands in a sentence. */
export function spoken(value: unknown, unit: string | undefined): string {
  if (typeof value === "string") return value.replaceAll("_", " ");
  if (typeof value !== "number") return String(value);
  const text = String(Math.round(value * 1e4) / 1e4);
  return unit ? text + (UNITS[unit] ?? ` ${unit}`) : text;
}

/** "8.5 mm", 8.5 and "1/3 in" in millimetres; NaN for what only the service can read. */
export function millimetres(value: unknown): number {
  if (typeof value === "number") return value;
  const found = /^\s*(?:(\d+)[\s-]+)?(\d+(?:\.\d+)?)(?:\/(\d+))?\s*(mm|in|"|cm)?\s*$/.exec(String(value));
  if (!found) return NaN;
  const number = Number(found[1] ?? 0) + Number(found[2]) / Number(found[3] ?? 1);
  return number * ({ in: MM_PER_INCH, '"': MM_PER_INCH, cm: 10 }[found[4] ?? "mm"] ?? 1);
}
