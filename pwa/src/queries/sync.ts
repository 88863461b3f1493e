/** What a person wants to know of sending: what waits here, and whether it is under way. */
import { computed, type ReadonlySignal } from "@preact/signals";
import { useMemo } from "preact/hooks";
import type { Store } from "../local/store";
import { isWaiting } from "../sync/photos";
import { type LineStatus, lineStatus } from "../sync/status";
import { useLive } from "./live";

export type SyncState = LineStatus & {
  /** Things done that have no receipt yet. A photo whose bytes wait too is counted as a photo. */
  waiting: number;
  photos_waiting: number;
  last_sent_at: string | null;
  attention: number;
};

type Counts = Pick<SyncState, "waiting" | "photos_waiting" | "last_sent_at" | "attention">;
const NOTHING: Counts = { waiting: 0, photos_waiting: 0, last_sent_at: null, attention: 0 };

export function useSync(): ReadonlySignal<SyncState> {
  const counts = useLive("sync", countWaiting);
  return useMemo(
    () => computed(() => ({ ...lineStatus.value, ...(counts.value ?? NOTHING) })),
    [counts],
  );
}

export async function countWaiting(store: Store): Promise<Counts> {
  const photos = new Set(await store.uploads.filter(isWaiting).primaryKeys());
  return {
    waiting: await store.outbox.filter((mutation) => !photos.has(mutation.entity)).count(),
    photos_waiting: photos.size,
    last_sent_at: ((await store.meta.get("last_sent_at"))?.value as string | undefined) ?? null,
    attention: await store.attention.count(),
  };
}
