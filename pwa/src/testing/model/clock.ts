/** The one clock of a world. Nothing happens but what is due on it, and always in the same order. */
type Due = { at_ms: number; n: number; run: () => Promise<void>; isOff: boolean };
export type Booking = { at_ms: number; isOff: boolean };

export class Clock {
  now_ms = 0;
  private due: Due[] = [];
  private count = 0;

  after(ms: number, run: () => Promise<void>): Booking {
    this.count += 1;
    const one: Due = { at_ms: this.now_ms + Math.max(0, ms), n: this.count, run, isOff: false };
    const place = this.due.findIndex((other) => other.at_ms > one.at_ms);
    this.due.splice(place < 0 ? this.due.length : place, 0, one);
    return one;
  }

  /** Everything that is due until then, and whatever that makes due. */
  async runFor(ms: number): Promise<void> {
    const until_ms = this.now_ms + ms;
    for (;;) {
      const next = this.due[0];
      if (!next || next.at_ms > until_ms) {
        break;
      }
      this.due.shift();
      if (!next.isOff) {
        this.now_ms = next.at_ms;
        await next.run();
      }
    }
    this.now_ms = until_ms;
  }

  /** What was booked for long after is due soon: the end of all delays. */
  hurry(booking: Booking, ms: number): void {
    const one = this.due.find((other) => other === booking);
    if (one && one.at_ms > this.now_ms + ms) {
      this.due.splice(this.due.indexOf(one), 1);
      one.isOff = true;
      Object.assign(booking, { at_ms: this.now_ms });
      this.after(ms, one.run);
    }
  }
}
