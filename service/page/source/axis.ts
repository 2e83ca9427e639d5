// The one axis of the page: rule, bait and pulls share it, station for station.

export const MARGIN = 28;
/** What the bait may be high on the page as it lies, of the window: as wide a one as a craw, claws spread, is to fill the rule. */
export const LYING = 0.66;
/** The same where it hangs. */
export const HANGING = 0.74;

export class Axis {
  width = 0;
  /** Pixels a millimetre. */
  scale = 1;
  private listeners: (() => void)[] = [];

  constructor(private readonly host: HTMLElement) {
    new ResizeObserver(() => this.measure()).observe(host);
    this.measure();
  }

  private length = 100;
  private tall = 10;
  private share = LYING;

  onChange(listener: () => void): void {
    this.listeners.push(listener);
  }

  /** Fit a bait so long and so high, mm; a longer one shows smaller, a higher one leaves rule free at its tail. */
  fit(length: number, tall: number, share = LYING): void {
    if (Math.abs(length - this.length) < 1e-6 && Math.abs(tall - this.tall) < 0.05 && share === this.share) return;
    this.length = length;
    this.tall = tall;
    this.share = share;
    this.measure();
  }

  private measure(): void {
    const width = this.host.clientWidth;
    const scale = Math.min((width - 2 * MARGIN) / this.length, (window.innerHeight * this.share) / this.tall);
    if (width === this.width && scale === this.scale) return;
    this.width = width;
    this.scale = scale;
    for (const listener of this.listeners) listener();
  }

  x(mm: number): number {
    return MARGIN + mm * this.scale;
  }

  /** The station at the right end of the rule, mm. */
  get end(): number {
    return (this.width - MARGIN * 0.5 - MARGIN) / this.scale;
  }
}
