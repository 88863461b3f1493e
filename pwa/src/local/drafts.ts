/** Under which keys a half-written entry lies: its words under its own, its photos beside them. */
import { isSame, laidOver } from "./draft_merge";
import { isOver } from "./draft_saves";
import type { Store } from "./store";

const PHOTOS = ":photos";

export const photosKey = (key: string) => `${key}${PHOTOS}`;
export const isPhotosKey = (key: string) => key.endsWith(PHOTOS);

/** Words and photos of one entry belong together. */
export const entryOf = (key: string) => (isPhotosKey(key) ? key.slice(0, -PHOTOS.length) : key);

/** Entries, with or without photos. */
export async function countDrafts(store: Store): Promise<number> {
  const keys = await store.drafts.toCollection().primaryKeys();
  return new Set(keys.map(entryOf)).size;
}

export type WordsOfDraft<T extends object> = {
  key: string;
  value: T;
  /** What this tab last knew to be stored: only what differs from it is written. */
  before: Partial<T>;
  /** What nobody has begun looks like: it is no draft. */
  empty?: T | undefined;
  /** When it was typed (`turnOf`): what was saved since is not written again. */
  turn: number;
  saved_at: string;
};

/** In one transaction: what this tab changed goes over what is stored, where another may have typed meanwhile. */
export async function putWords<T extends object>(
  store: Store,
  { key, value, before, empty, turn, saved_at }: WordsOfDraft<T>,
): Promise<void> {
  await store.transaction("rw", store.drafts, async () => {
    const stored = ((await store.drafts.get(key))?.value ?? empty ?? {}) as object;
    if (isOver(key, turn)) return;
    const next = laidOver(stored, { before, now: value });
    if (isSame(next, empty)) {
      await store.drafts.delete(key);
    } else {
      await store.drafts.put({ key, value: next, saved_at });
    }
  });
}
