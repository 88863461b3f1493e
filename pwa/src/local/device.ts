/**
 * Which device a principal's store is towards the server: part of every lane. It lives in the store
 * itself, so that it is copied, lost and renewed together with the numbers that depend on it; two
 * people who share a phone are two devices.
 */
import type { Store } from "./store";
import { uuid7 } from "./uuid7";

const NAME = "device_id";

/** What was in this store is gone, though the app goes on: only a fresh start can tell it and begin again. */
export class Cleared extends Error {}

/**
 * Never made on the way: a store without one was cleared under the app, and must still look so to the next
 * start, which tells it (local/lost.ts).
 */
export async function deviceIdOf(store: Store): Promise<string> {
  const known = (await store.meta.get(NAME))?.value;
  if (typeof known !== "string") {
    throw new Cleared("this store was cleared: it has no device");
  }
  return known;
}

/** A store in use has one from its first day on: without it, it was made anew. */
export async function hasDevice(store: Store): Promise<boolean> {
  return (await store.meta.get(NAME)) !== undefined;
}

/** Inside a transaction of the caller, together with what hangs on it. */
export async function becomeNewDevice(store: Store): Promise<string> {
  const made = uuid7();
  await store.meta.put({ name: NAME, value: made });
  return made;
}

/** The id that the server gave at sign-in; a store that has one already keeps it. */
export async function adoptDevice(store: Store, given: string): Promise<void> {
  await store.transaction("rw", store.meta, async () => {
    if (!(await store.meta.get(NAME))) {
      await store.meta.put({ name: NAME, value: given });
    }
  });
}

/** Of a store that lets go of its rows and is in use still. */
export async function forgetAllButDevice(store: Store): Promise<void> {
  await store.meta.where("name").notEqual(NAME).delete();
}
