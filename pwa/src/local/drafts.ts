/** Under which keys a half-written entry lies: its words under its own, its photos beside them. */
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
