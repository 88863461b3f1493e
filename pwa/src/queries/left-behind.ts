/** What others left unsent on this phone, under earlier links to the same job. */
import type { ReadonlySignal } from "@preact/signals";
import { liveQuery } from "dexie";
import type { Session } from "../local/home";
import { hasWork, isSameRecipient, otherLinks } from "../local/other_links";
import { storeOf } from "../local/store";
import { countUnsent } from "../local/tally";
import { keyOf } from "./live";
import { useShared } from "./shared";

export type LeftBehind = {
  link_id: string;
  name: string;
  /** Of whoever holds this link too: it did not follow, though it was to. */
  isOwn: boolean;
  changes: number;
  photos: number;
  drafts: number;
};

export function useLeftBehind(who: Session): ReadonlySignal<LeftBehind[] | undefined> {
  return useShared(keyOf("left-behind"), (set) => {
    const asked = liveQuery(() => readLeftBehind(who)).subscribe({ next: set, error: reportError });
    return () => asked.unsubscribe();
  });
}

export async function readLeftBehind(who: Session): Promise<LeftBehind[]> {
  const left: LeftBehind[] = [];
  for (const other of await otherLinks(who)) {
    const store = storeOf(other.principal_id);
    const isOwn = isSameRecipient(who, other);
    const goesByItself = isOwn && !other.is_stuck;
    if (!goesByItself && (await hasWork(store))) {
      const { changes, photos, drafts } = await countUnsent(store);
      // What the server did not take waits for its author too; photos are counted as photos.
      const refused = await store.attention.filter(({ type }) => type !== "photo").count();
      const name = other.recipient || other.name;
      const counts = { changes: changes + refused, photos, drafts };
      left.push({ link_id: other.principal_id, name, isOwn, ...counts });
    }
  }
  return left;
}
