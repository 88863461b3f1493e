import type { ReadonlySignal } from "@preact/signals";
import type { DraftRecord } from "../local/records";
import { useLive } from "./live";

/** What is begun and not saved yet, of all drafts whose key begins so. */
export function useDrafts(prefix: string): ReadonlySignal<DraftRecord[] | undefined> {
  return useLive(`drafts/${prefix}`, (store) =>
    store.drafts.where("key").startsWith(prefix).toArray(),
  );
}
