/** How long to wait before the same bytes are sent again. */

const FIRST_MS = 1_000;
/**
 * The sync rules allow 60 s and also want an empty queue within 10 s of healing, which the shorter
 * pause keeps. It costs no battery: only a visible app wakes by itself.
 */
const LONGEST_MS = 6_000;

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
