import { currentStore } from "../local/current";
import { besideBallast, isDiskFull, unlessFull, withRoom } from "../local/disk";
import {
  deleteDraft,
  putDraftPhotos,
  putKeptDraftPhotos,
  readDraftPhotos as readPhotos,
} from "../local/draft_photos";
import { pressEnds, turnOf } from "../local/draft_saves";
import { putWords } from "../local/drafts";
import { whileWriting } from "../local/open_writes";
import type { Result } from "../local/result";
import type { Store } from "../local/store";
import type { PreparedPhoto } from "../photo/prepare";

export { isClearedHere, isOver, lastCleared, tellBegun, turnOf } from "../local/draft_saves";
export { photosKey } from "../local/drafts";

/**
 * What somebody is typing, kept as it is typed: Android may stop the page behind the camera, and
 * a phone may die. The key is the screen's own, for example `log:<job>:<unit>`. It goes in the
 * transaction that saves the finished thing. Drafts never leave this phone.
 */

/** Under which key what is mended is kept as it is typed, until it is sent again or given up. */
export const mendKey = (id: string) => `mend:${id}`;

/** `full`: this phone has no room for it; it is on the screen only, and what was kept before stays. */
export type Room = "kept" | "full";

type Words<T extends object> = { before?: Partial<T>; empty?: T; turn?: number };

/** Of `value` what differs from what this tab last knew; without that all of it. What is `empty` is no draft. */
export async function saveDraft<T extends object>(
  key: string,
  value: T,
  { before = {}, empty, turn = turnOf(key) }: Words<T> = {},
): Promise<Room> {
  const draft = { key, value, before, empty, turn, saved_at: new Date().toISOString() };
  const store = currentStore.value;
  if (store) {
    try {
      // What is typed may use the room that is kept for words; photos may not.
      await whileWriting(async () => {
        await pressEnds(key);
        await withRoom(store, () => putWords(store, draft));
      });
    } catch (problem) {
      if (!isDiskFull(problem)) {
        throw problem;
      }
      return "full";
    }
  }
  return "kept";
}

type Photos = { before?: PreparedPhoto[]; turn?: number };

/**
 * The photos of a draft as this tab has them now, over what is stored: only what was in `before` is taken out.
 * With no room for the newest, what is drawn on the others is kept.
 */
export async function saveDraftPhotos(
  key: string,
  photos: PreparedPhoto[],
  { before = [], turn = turnOf(key) }: Photos = {},
): Promise<Room> {
  const draft = { key, photos, before, turn, saved_at: new Date().toISOString() };
  const store = currentStore.value;
  if (!store) {
    return "kept";
  }
  return await whileWriting(async () => {
    await pressEnds(key);
    const all = async (): Promise<Room> => {
      await besideBallast(store, () => putDraftPhotos(store, draft));
      return "kept";
    };
    const end = await unlessFull<Room>(all, { otherwise: "full" });
    if (end === "full") {
      const kept = () => withRoom(store, () => putKeptDraftPhotos(store, draft));
      await unlessFull(kept, { otherwise: undefined });
    }
    return end;
  });
}

export async function readDraft<T>(key: string): Promise<T | undefined> {
  return (await currentStore.value?.drafts.get(key))?.value as T | undefined;
}

export async function readDraftPhotos(
  key: string,
  { known = [] }: { known?: PreparedPhoto[] } = {},
): Promise<PreparedPhoto[] | undefined> {
  const store = currentStore.value;
  return store ? await readPhotos(store, key, { known }) : undefined;
}

/**
 * Nothing is left of it, or somebody gives it up: it leaves this phone with its photos, and nobody else has
 * them. Needs no signal.
 */
export async function dropDraft(key: string): Promise<Result> {
  const { drafts, draft_photos, ended_drafts } = currentStore.value ?? {};
  const tables = [drafts, draft_photos, ended_drafts].filter((one) => one !== undefined);
  return await inWords(key, (store) =>
    store.transaction("rw", tables, () => deleteDraft(store, key)),
  );
}

/** Of a job that is no longer this person's: looked at later, and no screen asks for attention on its account. */
export async function keepEndedDraft(key: string): Promise<Result> {
  const kept_at = new Date().toISOString();
  return await inWords(key, (store) => store.ended_drafts.update(key, { kept_at }));
}

/** Small enough for the room that is kept for words; where even that is gone, it is told. */
async function inWords(id: string, work: (store: Store) => Promise<unknown>): Promise<Result> {
  const store = currentStore.value;
  if (!store) {
    return { ok: false, code: "not_signed_in" };
  }
  const small = async (): Promise<Result> => {
    await withRoom(store, () => work(store));
    return { ok: true, id };
  };
  return await unlessFull(small, { otherwise: { ok: false, code: "disk_full" } });
}
