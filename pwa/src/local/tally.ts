/**
 * A few figures beside the store, so that a person whose store was cleared can be told what had not
 * been sent, as far as this phone had noted. They lie in localStorage, which a browser that clears a full disk usually leaves alone
 * (M); where it does not, the person is told that it cannot be known.
 */
import { liveQuery } from "dexie";
import * as v from "valibot";
import { hasDevice } from "./device";
import { countDrafts } from "./drafts";
import type { Session } from "./home";
import type { Store } from "./store";

const KEY = "flarenut-tally";
const Unsent = v.object({ changes: v.number(), photos: v.number(), drafts: v.number() });
type Unsent = v.InferOutput<typeof Unsent>;
const Shape = v.object({
  principal_id: v.string(),
  name: v.string(),
  ...Unsent.entries,
  /** Lost before, and not read yet. */
  untold: v.optional(Unsent),
  /** Its loss was read while nobody was signed in: the next start does not tell it once more. */
  is_read: v.optional(v.boolean(), false),
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
  const counts = liveQuery(() => countOfIntact(store)).subscribe({
    next: (unsent) => {
      if (!unsent) return;
      const { principal_id, name } = who;
      const before = readTally();
      const untold = before?.principal_id === principal_id ? before.untold : undefined;
      const at = new Date().toISOString();
      write({ principal_id, name, ...unsent, ...(untold ? { untold } : {}), is_read: false, at });
    },
    error: reportError,
  });
  return () => counts.unsubscribe();
}

/** Nothing of a store that was cleared under the app: what was in it is told by the figures from before. */
async function countOfIntact(store: Store): Promise<Unsent | undefined> {
  const unsent = await countUnsent(store);
  return (await hasDevice(store)) ? unsent : undefined;
}

/**
 * What was in a store that is gone, with what was lost before and is not read yet. However often it is asked for the
 * same loss, and whatever was counted anew meanwhile, it is told once and whole.
 */
export function tallyOfLost(): Tally | undefined {
  const last = readTally();
  if (!last) return undefined;
  const { untold } = last;
  const lost = {
    changes: last.changes + (untold?.changes ?? 0),
    photos: last.photos + (untold?.photos ?? 0),
    drafts: last.drafts + (untold?.drafts ?? 0),
  };
  write({ ...last, changes: 0, photos: 0, drafts: 0, untold: lost, is_read: false });
  return { ...last, ...lost };
}

/** Somebody has read what was lost; `is_read` where nobody is signed in. */
export function forgetUntold({ is_read }: { is_read: boolean }): void {
  const last = readTally();
  if (last) {
    const { untold: _, ...rest } = last;
    write({ ...rest, is_read });
  }
}

export async function countUnsent(store: Store): Promise<Unsent> {
  const photos = await store.uploads.filter((one) => one.uploaded_at === null).primaryKeys();
  const known = new Set(photos);
  return {
    changes: await store.outbox.filter((mutation) => !known.has(mutation.entity)).count(),
    photos: photos.length,
    drafts: await countDrafts(store),
  };
}
