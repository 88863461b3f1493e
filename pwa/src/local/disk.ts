/**
 * A full phone. IndexedDB then aborts the whole transaction: nothing of it was written. A small
 * ballast record is kept to be released in that moment, so that words can still be saved.
 */
import { computed, type ReadonlySignal, signal } from "@preact/signals";
import type { Store } from "./store";

/** Enough for thousands of issues in words; too little for photos to eat it unnoticed. (P) */
const BALLAST_BYTES = 1_000_000;
/** The browser fills at most this many random bytes in one call (Web Cryptography, 10.1.1). */
const RANDOM_BYTES = 65_536;

/** What this tab knows: nothing at its start, since the phone may have filled up meanwhile. */
const room = signal<"unknown" | "enough" | "none">("unknown");
/** True since something had no room on this phone, until it is found out that there is room again. */
export const isPhoneFull: ReadonlySignal<boolean> = computed(() => room.value === "none");

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
  const ballast = { id: "ballast", blob: randomBlob() } as const;
  await unlessFull(() => store.ballast.put(ballast), { otherwise: "ballast" });
}

function randomBlob(): Blob {
  const parts: Uint8Array<ArrayBuffer>[] = [];
  for (let bytes = 0; bytes < BALLAST_BYTES; bytes += RANDOM_BYTES) {
    parts.push(crypto.getRandomValues(new Uint8Array(RANDOM_BYTES)));
  }
  return new Blob(parts);
}

export async function hasBallast(store: Store): Promise<boolean> {
  return (await store.ballast.where("id").equals("ballast").count()) > 0;
}

/** Writes a picture, beside the ballast only: where it does not fit, this phone is full. */
export async function besideBallast<T>(store: Store, work: () => Promise<T>): Promise<T> {
  await keepBallast(store);
  try {
    return await work();
  } catch (problem) {
    if (isDiskFull(problem)) {
      room.value = "none";
    }
    throw problem;
  }
}

/**
 * Whether a picture fits beside the ballast. Browsers do not say how much is left, so at first, and once
 * something had no room, it is tried: what a picture needs is written, and taken away again.
 */
export async function findRoom(store: Store): Promise<boolean> {
  await keepBallast(store);
  const isKnown = room.peek() === "enough";
  const isRoom = (await hasBallast(store)) && (isKnown || (await fitsOnceMore(store)));
  room.value = isRoom ? "enough" : "none";
  return isRoom;
}

async function fitsOnceMore(store: Store): Promise<boolean> {
  const trial = async () => {
    await store.ballast.put({ id: "trial", blob: randomBlob() });
    await store.ballast.delete("trial");
    return true;
  };
  return await unlessFull(trial, { otherwise: false });
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
  room.value = "none";
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
