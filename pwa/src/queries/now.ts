/** The time of this device, in seconds, moving on once a minute: for "today", "late" and "begun". */
import { type ReadonlySignal, signal } from "@preact/signals";
import { serverNow } from "../sync/server_clock";

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

/**
 * Whether a day that the server set is over: by the server's clock once it was heard, as a device may be a
 * year wrong; by this device's own until then.
 */
export function isPast(at: string): boolean {
  return Date.parse(at) < (serverNow()?.getTime() ?? Date.now());
}
