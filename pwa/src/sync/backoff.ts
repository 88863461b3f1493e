/** How long to wait before the same bytes are sent again. */

const FIRST_MS = 1_000;
/** Sync rules: at most 60 s. */
const LONGEST_MS = 60_000;

/**
 * Doubles with each failed try, and is spread between half and whole so that phones which lost the
 * same mast do not come back in the same second.
 */
export class Backoff {
  private tries = 0;

  constructor(private readonly random: () => number = Math.random) {}

  next(): number {
    const whole = Math.min(LONGEST_MS, FIRST_MS * 2 ** this.tries);
    this.tries += 1;
    return whole * (0.5 + this.random() / 2);
  }

  reset(): void {
    this.tries = 0;
  }
}
