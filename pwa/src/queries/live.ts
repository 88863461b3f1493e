/** Dexie's live queries as shared signals: they follow every tab and the service worker. */
import type { ReadonlySignal } from "@preact/signals";
import { liveQuery } from "dexie";
import { currentStore } from "../local/current";
import type { Store } from "../local/store";
import { type Start, useShared } from "./shared";

/** The same question of another person is another question. */
export function keyOf(name: string): string {
  return `${currentStore.value?.name ?? "nobody"}/${name}`;
}

export function startLive<T>(ask: (store: Store) => Promise<T>): Start<T> {
  return (set) => {
    const store = currentStore.value;
    if (!store) {
      return () => undefined;
    }
    const asked = liveQuery(() => ask(store)).subscribe({ next: set, error: reportError });
    return () => asked.unsubscribe();
  };
}

export function useLive<T>(
  name: string,
  ask: (store: Store) => Promise<T>,
): ReadonlySignal<T | undefined> {
  return useShared(keyOf(name), startLive(ask));
}
