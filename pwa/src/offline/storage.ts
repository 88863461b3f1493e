/** How much of this phone the app uses, and whether the browser promised not to clear it. */
import { type ReadonlySignal, signal } from "@preact/signals";

export type StorageState = {
  /** True when the browser promised not to clear this phone's work by itself. */
  persistent: boolean;
  used_bytes: number;
  quota_bytes: number;
};

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
  state.value = { persistent: await disk.persisted(), used_bytes: usage, quota_bytes: quota };
}

export async function freeBytes(): Promise<number | undefined> {
  await refreshStorage();
  return state.value ? state.value.quota_bytes - state.value.used_bytes : undefined;
}
