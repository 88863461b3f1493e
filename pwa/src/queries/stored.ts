/** What lies on this phone, by kind: for whoever wonders where the space goes, or what waits. */
import type { ReadonlySignal } from "@preact/signals";
import { countDrafts } from "../local/drafts";
import { readRow } from "../local/merge";
import type { Store } from "../local/store";
import { useLive } from "./live";
import { countWaiting } from "./sync";

export type Stored = {
  /** As the indicator counts them: a photo is a photo, and not a change too. */
  waiting: number;
  /** Full photos: they stay until the server says that it has them. */
  photos: number;
  photos_bytes: number;
  pictures: number;
  /** Entries, with or without photos. */
  drafts: number;
  /** Acknowledged, and kept for a server that may have to be restored from a backup. */
  sent: number;
};

export function useStored(): ReadonlySignal<Stored | undefined> {
  return useLive("stored", readStored);
}

export async function readStored(store: Store): Promise<Stored> {
  // All at once, so that the live query follows each of them (see countWaiting).
  const [{ waiting }, photos, pictures, drafts, sent] = await Promise.all([
    countWaiting(store),
    store.photos_full.toCollection().primaryKeys(),
    store.thumbs.count(),
    countDrafts(store),
    store.receipts.count(),
  ]);
  return {
    waiting,
    photos: photos.length,
    photos_bytes: await bytesOf(store, photos),
    pictures,
    drafts,
    sent,
  };
}

/** As announced, so that no photo has to be read for it. Of a job that is no longer here: the photo itself. */
async function bytesOf(store: Store, ids: string[]): Promise<number> {
  let bytes = 0;
  for (const id of ids) {
    const row = await readRow(store, { table: "photo", id });
    bytes += row?.size_bytes ?? (await store.photos_full.get(id))?.blob.size ?? 0;
  }
  return bytes;
}
