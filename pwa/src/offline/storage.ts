/** How much of this phone the app uses, and whether the browser promised not to clear it. */
import { type ReadonlySignal, signal } from "@preact/signals";

export type StorageState = {
  /** True when the browser promised not to clear this phone's work by itself. */
  persistent: boolean;
  used_bytes: number;
  /** Missing where the browser does not tell. */
  quota_bytes?: number;
};

export type StoredBytes = Pick<StorageState, "used_bytes" | "quota_bytes">;

const GIB_BYTES = 2 ** 30;

const state = signal<StorageState | undefined>(undefined);
/** undefined until refreshStorage has run, or where the browser does not tell. */
export const storageState: ReadonlySignal<StorageState | undefined> = state;

/** Missing where the page did not come over a secure line. */
const disk: StorageManager | undefined = globalThis.navigator?.storage;

/** Never asks the person. Browsers say yes to installed or much-used apps: asked again at each start. */
export async function requestPersist(): Promise<void> {
  await disk?.persist();
  await refreshStorage();
}

export async function refreshStorage(): Promise<void> {
  if (!disk) {
    return;
  }
  const { usage = 0, quota = 0 } = await disk.estimate();
  const persistent = await disk.persisted();
  state.value = { persistent, used_bytes: usage, ...toldQuota({ usage, quota }) };
}

/**
 * Chromium makes up a quota, so that nobody is known by their disk: what is used and whole GiB beside, up to 10
 * of them. It says so on a full phone too, so it is no answer.
 */
export function toldQuota({ usage, quota }: { usage: number; quota: number }) {
  const left = quota - usage;
  const isMadeUp = left > 0 && left % GIB_BYTES === 0;
  return quota > 0 && !isMadeUp ? { quota_bytes: quota } : {};
}

export async function freeBytes(): Promise<number | undefined> {
  await refreshStorage();
  return state.value && leftBytes(state.value);
}

export function leftBytes({ used_bytes, quota_bytes }: StoredBytes): number | undefined {
  return quota_bytes === undefined ? undefined : Math.max(quota_bytes - used_bytes, 0);
}
