/** What a person wants to know of sending: what waits here, and whether it is under way. */
import { computed, type ReadonlySignal } from "@preact/signals";
import { useMemo } from "preact/hooks";
import { readRow } from "../local/merge";
import { type Session, session } from "../local/session";
import type { Store } from "../local/store";
import { isEnded } from "../sync/ended";
import { isWaiting } from "../sync/photos";
import { type LineStatus, lineStatus } from "../sync/status";
import { endedDrafts } from "./ended-drafts";
import { useLive } from "./live";
import { isPast } from "./now";
import { pickableTables } from "./pickable";

export type SyncState = LineStatus & {
  /** Of a contractor's link, which cannot sign in: opening it again, or a new one, sends on. */
  is_link: boolean;
  /** Things done that have no receipt yet. A photo whose bytes wait too is counted as a photo. */
  waiting: number;
  photos_waiting: number;
  last_sent_at: string | null;
  /** What was not taken or can no longer be finished, and fields with two values; without what was put off. */
  attention: number;
  /**
   * What the office has not taken over, also where it was put off: no receipt will come for it before
   * somebody decides. Words that were set aside lie with the office too; a photo that is held lies here only.
   */
  not_taken: number;
  /** Of these, what no bar asks for: its author has put it off. */
  put_off?: number;
  /** The app is too old to read what others did; what is done here is sent all the same. */
  update_needed: boolean;
  /** The company has ended this person's access: signing in again would not help. */
  is_ended: boolean;
};

type Counts = Pick<
  SyncState,
  | "waiting"
  | "photos_waiting"
  | "last_sent_at"
  | "attention"
  | "not_taken"
  | "put_off"
  | "update_needed"
  | "is_ended"
>;
const NOTHING: Counts = {
  waiting: 0,
  photos_waiting: 0,
  last_sent_at: null,
  attention: 0,
  not_taken: 0,
  put_off: 0,
  update_needed: false,
  is_ended: false,
};

export function useSync(): ReadonlySignal<SyncState> {
  const counts = useLive("sync", countWaiting);
  return useMemo(
    () =>
      computed(() => ({
        ...lineStatus.value,
        is_link: session.value?.as === "link",
        is_over: lineStatus.value.is_over || isPastItsDay(session.value),
        ...(counts.value ?? NOTHING),
      })),
    [counts],
  );
}

/** Told without the server, which may know nothing any more of a session that old. */
function isPastItsDay(who: Session | null): boolean {
  return who?.expires_at !== undefined && isPast(who.expires_at);
}

/**
 * All are asked at once: what is asked after a function of our own was awaited is not followed by a live query,
 * which keeps hold of its questions for a few turns only.
 */
export async function countWaiting(store: Store): Promise<Counts> {
  const [entities, photos, held, sent, cards, ended, doubled, update, is_ended] = await Promise.all(
    [
      store.outbox.orderBy("entity").keys(),
      store.uploads.filter(isWaiting).primaryKeys(),
      store.uploads.filter((upload) => upload.held).primaryKeys(),
      store.meta.get("last_sent_at"),
      store.attention.toArray(),
      endedDrafts(store),
      countTwoValues(store),
      store.meta.get("update_needed"),
      isEnded(store),
    ],
  );
  const isPhoto = new Set<unknown>(photos);
  const isTold = new Set(cards.map((card) => card.entity));
  const untold = held.filter((photo) => !isTold.has(photo));
  const undecided = [...cards, ...ended].filter((one) => !one.kept_at);
  return {
    waiting: entities.filter((entity) => !isPhoto.has(entity)).length,
    photos_waiting: photos.length,
    last_sent_at: (sent?.value as string | undefined) ?? null,
    attention: undecided.length + doubled,
    not_taken: cards.length + ended.length + untold.length,
    put_off: cards.length + ended.length + untold.length - undecided.length,
    update_needed: update !== undefined,
    is_ended,
  };
}

/** Fields with two values that this person can settle. */
async function countTwoValues(store: Store): Promise<number> {
  const unsettled = await store.rows
    .where("table")
    .anyOf([...pickableTables()])
    .filter(({ fields }) => Object.keys(fields.two_values ?? {}).length > 0)
    .primaryKeys();
  const rows = await Promise.all(unsettled.map(([table, id]) => readRow(store, { table, id })));
  return rows.reduce((sum, row) => sum + Object.keys(twoValuesIn(row)).length, 0);
}

/** What is chosen already on this phone is out of the row as it is shown. */
function twoValuesIn(row: object | undefined): object {
  return row && "two_values" in row ? (row.two_values ?? {}) : {};
}
