/** The time of this device, in seconds, moving on once a minute and after sleep: for "today", "late" and "begun". */
import { type ReadonlySignal, signal } from "@preact/signals";
import { serverNow } from "../sync/server_clock";

const MINUTE_MS = 60_000;
const clock = signal(0);
let isTicking = false;

function look(): void {
  clock.value = Date.now() / 1000;
}

export function useNow(): ReadonlySignal<number> {
  if (!isTicking) {
    isTicking = true;
    look();
    setInterval(look, MINUTE_MS);
    // Timers stand still with a page that sleeps.
    globalThis.document?.addEventListener("visibilitychange", look);
  }
  return clock;
}

/**
 * Whether a day that the server set is over: by the server's clock once it was heard, as a device may be a
 * year wrong; by this device's own until then.
 */
export function isPast(at: string): boolean {
  return Date.parse(at) < (serverNow()?.getTime() ?? Date.now());
}
