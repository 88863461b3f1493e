/** The time of this device, in seconds, moving on once a minute: for "today", "late" and "begun". */
import { type ReadonlySignal, signal } from "@preact/signals";

const MINUTE_MS = 60_000;
const clock = signal(Date.now() / 1000);
let isTicking = false;

export function useNow(): ReadonlySignal<number> {
  if (!isTicking) {
    isTicking = true;
    setInterval(() => {
      clock.value = Date.now() / 1000;
    }, MINUTE_MS);
  }
  return clock;
}
