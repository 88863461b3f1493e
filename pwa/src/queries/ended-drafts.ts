/** What was begun about something that this person may no longer see: on this phone only, until they decide. */
import type { ReadonlySignal } from "@preact/signals";
import { factsIn } from "../local/draft_photos";
import { photosKey } from "../local/drafts";
import { readRow } from "../local/merge";
import type { DraftPhoto, EndedDraftRecord } from "../local/records";
import type { Store } from "../local/store";
import { useLive } from "./live";

export type EndedDraft = EndedDraftRecord & {
  value: Record<string, unknown>;
  photos: (DraftPhoto & { thumb: Blob })[];
};

export function useEndedDrafts(): ReadonlySignal<EndedDraft[] | undefined> {
  return useLive("ended-drafts", readEndedDrafts);
}

export async function readEndedDrafts(store: Store): Promise<EndedDraft[]> {
  const ended = await endedDrafts(store);
  return await Promise.all(
    ended.map(async (draft) => ({
      ...draft,
      value: ((await store.drafts.get(draft.key))?.value ?? {}) as EndedDraft["value"],
      photos: await thumbsOf(store, draft.key),
    })),
  );
}

/** When what they are about comes back they are drafts like any other. */
export async function endedDrafts(store: Store): Promise<EndedDraftRecord[]> {
  const told = await store.ended_drafts.toArray();
  if (told.length === 0) return told;
  // All at once, so that a live query follows each.
  const back = await Promise.all(told.map((draft) => isBack(store, draft)));
  return told.filter((_draft, place) => !back[place]);
}

async function isBack(store: Store, { job_id, row }: EndedDraftRecord): Promise<boolean> {
  if (row) {
    return (await readRow(store, { table: row[0], id: row[1] })) !== undefined;
  }
  const known = (await store.cursors.get(job_id)) ?? (await store.rows.get(["job", job_id]));
  return known !== undefined;
}

async function thumbsOf(store: Store, key: string): Promise<EndedDraft["photos"]> {
  const photos: EndedDraft["photos"] = [];
  for (const photo of factsIn((await store.drafts.get(photosKey(key)))?.value)) {
    const picture = await store.draft_photos.get([key, photo.sha256, "thumb"]);
    if (picture) {
      photos.push({ ...photo, thumb: picture.blob });
    }
  }
  return photos;
}
