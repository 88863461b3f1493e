/** What the server refused or could not apply, whole, until its author mends or drops it. */
import type { ReadonlySignal } from "@preact/signals";
import type { AttentionRecord } from "../local/records";
import { useLive } from "./live";

export type AttentionItem = AttentionRecord;

export function useAttention(): ReadonlySignal<AttentionItem[] | undefined> {
  return useLive("attention", async (store) => {
    const items = await store.attention.toArray();
    return items.toSorted((a, b) => a.at.localeCompare(b.at) || a.id.localeCompare(b.id));
  });
}

/** Are the bytes of that photo on this phone? */
export function useHasFullPhoto(id: string): ReadonlySignal<boolean | undefined> {
  return useLive(`full/${id}`, async (store) => {
    return (await store.photos_full.where("id").equals(id).count()) > 0;
  });
}
