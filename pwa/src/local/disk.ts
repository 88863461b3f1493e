/**
 * A full phone. IndexedDB then aborts the whole transaction: nothing of it was written. A small
 * ballast record is kept to be released in that moment, so that words can still be saved.
 */
import type { Store } from "./store";

/** Enough for thousands of issues in words; too little for photos to eat it unnoticed. (P) */
const BALLAST_BYTES = 1_000_000;
/** The browser fills at most this many random bytes in one call (Web Cryptography, 10.1.1). */
const RANDOM_BYTES = 65_536;

export function isDiskFull(problem: unknown): boolean {
  for (let error = problem; error instanceof Object; error = Reflect.get(error, "inner")) {
    if (Reflect.get(error, "name") === "QuotaExceededError") {
      return true;
    }
  }
  return false;
}

/** Random bytes, since the browser compresses what it stores. A phone too full for it goes on. */
export async function keepBallast(store: Store): Promise<void> {
  if (await hasBallast(store)) {
    return;
  }
  const parts: Uint8Array<ArrayBuffer>[] = [];
  for (let bytes = 0; bytes < BALLAST_BYTES; bytes += RANDOM_BYTES) {
    parts.push(crypto.getRandomValues(new Uint8Array(RANDOM_BYTES)));
  }
  const ballast = { id: "ballast", blob: new Blob(parts) } as const;
  await unlessFull(() => store.ballast.put(ballast), { otherwise: "ballast" });
}

export async function hasBallast(store: Store): Promise<boolean> {
  return (await store.ballast.count()) > 0;
}

/**
 * Inside the transaction that writes a picture: where the ballast has gone, what is left of the disk is for
 * words. It is told as a full disk, and comes again by itself once there is room for both.
 */
export async function requireBallast(store: Store): Promise<void> {
  if (!(await hasBallast(store))) {
    throw new DOMException("what room is left is kept for words", "QuotaExceededError");
  }
}

/** What has no room now comes another time; what can go on without it goes on. */
export async function unlessFull<T>(
  work: () => Promise<T>,
  { otherwise }: { otherwise: T },
): Promise<T> {
  try {
    return await work();
  } catch (problem) {
    if (!isDiskFull(problem)) {
      throw problem;
    }
    return otherwise;
  }
}

/** The ballast goes, and so do pictures that can be fetched again: the small one of a photo to send stays. */
export async function makeRoom(store: Store): Promise<void> {
  await store.transaction("rw", store.ballast, store.thumbs, store.uploads, async () => {
    await store.ballast.clear();
    const own = new Set(await store.uploads.toCollection().primaryKeys());
    const keys = await store.thumbs.toCollection().primaryKeys();
    await store.thumbs.bulkDelete(keys.filter(([id, size]) => size === "large" || !own.has(id)));
  });
}

/** Tries once more after making room. For words and receipts; photos must not eat what is kept for them. */
export async function withRoom<T>(store: Store, work: () => Promise<T>): Promise<T> {
  try {
    return await work();
  } catch (problem) {
    if (!isDiskFull(problem)) {
      throw problem;
    }
    await makeRoom(store);
    return await work();
  }
}
