/** What this tab knows of its line to the server; the counts of what waits come from the store. */
import { type ReadonlySignal, signal } from "@preact/signals";
import type { PhotoProgress } from "./photos";

/** Nobody answered; the office did, and cannot take all of it yet; what it said has no room on this phone. */
export type Stuck = "silent" | "busy" | "phone_full" | null;

export type LineStatus = {
  online: boolean;
  signed_in: boolean;
  /** Of a link, where not signed in: it is over for good, and not only its session. */
  is_over: boolean;
  sending: boolean;
  /** Why the last round left something undone; it is tried again by itself. */
  stuck: Stuck;
  photo_progress: PhotoProgress | null;
};

const status = signal<LineStatus>({
  online: globalThis.navigator?.onLine ?? true,
  signed_in: true,
  is_over: false,
  sending: false,
  stuck: null,
  photo_progress: null,
});
export const lineStatus: ReadonlySignal<LineStatus> = status;

export function tellStatus(change: Partial<LineStatus>): void {
  // peek: whoever tells must not thereby be told again.
  status.value = { ...status.peek(), ...change };
}
