/** What was begun about something that this person may no longer see: on this phone only, until they decide. */
import type { ReadonlySignal } from "@preact/signals";
import { factsIn } from "../local/draft_photos";
import { photosKey } from "../local/drafts";
import { readRows } from "../local/merge";
import type { DraftPhoto, EndedDraftRecord } from "../local/records";
import type { TableName } from "../local/rows";
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
  // Of the store itself, as a live query follows functions for a few turns only.
  const jobs = [...new Set(told.map((one) => one.job_id))];
  const cursors = await store.cursors.bulkGet(jobs);
  const seen = new Set(cursors.flatMap((cursor) => cursor?.job_id ?? []));
  const rows = await readRows(store, [
    ...jobs.map((id): [TableName, string] => ["job", id]),
    ...told.flatMap(({ row }) => (row ? [row] : [])),
  ]);
  const isHere = (table: TableName, id: string) => rows[table].some((row) => row.id === id);
  return told.filter(({ job_id, row }) =>
    row ? !isHere(...row) : !(seen.has(job_id) || isHere("job", job_id)),
  );
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
