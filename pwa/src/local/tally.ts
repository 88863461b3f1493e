/**
 * A few figures beside the stores, so that a person whose store was cleared can be told what had not
 * been sent, as far as this phone had noted. They lie in localStorage, which a browser that clears a full disk usually leaves alone
 * (M); where it does not, the person is told that it cannot be known.
 */
import { liveQuery } from "dexie";
import * as v from "valibot";
import { hasDevice } from "./device";
import { countDrafts } from "./drafts";
import { home, type Session } from "./home";
import { type Store, storeOf } from "./store";

const KEY = "flarenut-tally";
const Unsent = v.object({ changes: v.number(), photos: v.number(), drafts: v.number() });
type Unsent = v.InferOutput<typeof Unsent>;
const Shape = v.object({
  principal_id: v.string(),
  name: v.string(),
  ...Unsent.entries,
  /** Lost before, and not read yet. */
  untold: v.optional(Unsent),
  /** When this was noted: a phone that died in the seconds after may have lost the newest figures. */
  at: v.string(),
});
export type Tally = v.InferOutput<typeof Shape>;
/** An older app kept those of the last person alone. */
const Kept = v.union([
  v.array(Shape),
  v.pipe(
    Shape,
    v.transform((one) => [one]),
  ),
]);

/** Of everybody who has used this phone, whoever was counted last at the end; undefined where nobody knows. */
export function readTallies(): Tally[] | undefined {
  try {
    const read = v.safeParse(Kept, JSON.parse(localStorage.getItem(KEY) ?? "null"));
    return read.success ? read.output : undefined;
  } catch {
    // Blocked for this page, or not what was written: then nothing is known.
    return undefined;
  }
}

function write(tallies: Tally[]): void {
  try {
    localStorage.setItem(KEY, JSON.stringify(tallies));
  } catch {
    // A full or blocked localStorage must not stop the work that it only counts.
  }
}

/** Counts again whenever something was written or sent; gives what stops it. */
export function keepTally(store: Store, { who }: { who: Session }): () => void {
  const counts = liveQuery(() => countOfIntact(store)).subscribe({
    next: (unsent) => {
      if (unsent) note(who, unsent);
    },
    error: reportError,
  });
  return () => counts.unsubscribe();
}

function note({ principal_id, name }: Session, unsent: Unsent): void {
  const known = readTallies() ?? [];
  const untold = known.find((one) => one.principal_id === principal_id)?.untold;
  const mine = { principal_id, name, ...unsent, ...(untold ? { untold } : {}) };
  write([
    ...known.filter((one) => one.principal_id !== principal_id),
    { ...mine, at: new Date().toISOString() },
  ]);
}

/** Nothing of a store that was cleared under the app: what was in it is told by the figures from before. */
async function countOfIntact(store: Store): Promise<Unsent | undefined> {
  const unsent = await countUnsent(store);
  return (await hasDevice(store)) ? unsent : undefined;
}

/** Of the others who are known here: what waited may have been sent with no page open, or moved. */
export async function countOthers(who: Session | null): Promise<void> {
  for (const other of await home.sessions.toArray()) {
    if (other.principal_id !== who?.principal_id) {
      await countAnew(storeOf(other.principal_id), other);
    }
  }
}

/** Of a store that no tab may have open. */
export async function countAnew(store: Store, who: Session): Promise<void> {
  const unsent = await countOfIntact(store);
  if (unsent) note(who, unsent);
}

/** Its work went to another store of this phone, by intent. */
export function forgetTally(principal_id: string): void {
  write((readTallies() ?? []).filter((one) => one.principal_id !== principal_id));
}

/** What was in a store that is gone, with what was lost before and is not read yet. */
export function whole({ untold, ...last }: Tally): Tally {
  return {
    ...last,
    changes: last.changes + (untold?.changes ?? 0),
    photos: last.photos + (untold?.photos ?? 0),
    drafts: last.drafts + (untold?.drafts ?? 0),
  };
}

/** Put aside until it is read: whatever is counted anew meanwhile, it is told once and whole. */
export function keepUntold(lost: Tally[]): void {
  const known = (readTallies() ?? []).map((one) => {
    const gone = lost.find(({ principal_id }) => principal_id === one.principal_id);
    if (!gone) return one;
    const { changes, photos, drafts } = gone;
    return { ...one, changes: 0, photos: 0, drafts: 0, untold: { changes, photos, drafts } };
  });
  write(known);
}

/** What was lost was read. Where nobody is signed in, the next start has nothing to say of whom nothing waited. */
export function forgetUntold({ isAnybodyHere }: { isAnybodyHere: boolean }): void {
  const known = readTallies();
  if (known) {
    const told = known.map(({ untold: _, ...rest }) => rest);
    write(isAnybodyHere ? told : told.filter(isSomething));
  }
}

export function isSomething({ changes, photos, drafts }: Unsent): boolean {
  return changes + photos + drafts > 0;
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
