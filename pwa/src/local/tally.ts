/**
 * A few figures beside the store, so that a person whose store was cleared can be told what had not
 * been sent, as far as this phone had noted. They lie in localStorage, which a browser that clears a full disk usually leaves alone
 * (M); where it does not, the person is told that it cannot be known.
 */
import { liveQuery } from "dexie";
import * as v from "valibot";
import { countDrafts } from "./drafts";
import type { Session } from "./home";
import type { Store } from "./store";

const KEY = "flarenut-tally";
const Shape = v.object({
  principal_id: v.string(),
  name: v.string(),
  changes: v.number(),
  photos: v.number(),
  drafts: v.number(),
  /** When this was noted: a phone that died in the seconds after may have lost the newest figures. */
  at: v.string(),
});
export type Tally = v.InferOutput<typeof Shape>;

/** Of whoever used this phone last. */
export function readTally(): Tally | undefined {
  try {
    const read = v.safeParse(Shape, JSON.parse(localStorage.getItem(KEY) ?? "null"));
    return read.success ? read.output : undefined;
  } catch {
    // Blocked for this page, or not what was written: then nothing is known.
    return undefined;
  }
}

function write(tally: Tally): void {
  try {
    localStorage.setItem(KEY, JSON.stringify(tally));
  } catch {
    // A full or blocked localStorage must not stop the work that it only counts.
  }
}

/** Counts again whenever something was written or sent; gives what stops it. */
export function keepTally(store: Store, { who }: { who: Session }): () => void {
  const counts = liveQuery(() => countUnsent(store)).subscribe({
    next: (unsent) => {
      const at = new Date().toISOString();
      write({ principal_id: who.principal_id, name: who.name, ...unsent, at });
    },
    error: reportError,
  });
  return () => counts.unsubscribe();
}

export async function countUnsent(store: Store) {
  const photos = await store.uploads.filter((one) => one.uploaded_at === null).primaryKeys();
  const known = new Set(photos);
  return {
    changes: await store.outbox.filter((mutation) => !known.has(mutation.entity)).count(),
    photos: photos.length,
    drafts: await countDrafts(store),
  };
}
