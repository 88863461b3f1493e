/** What was begun on a job that this person may no longer see: on this phone only, until they decide. */
import type { ReadonlySignal } from "@preact/signals";
import { factsIn } from "../local/draft_photos";
import { photosKey } from "../local/drafts";
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

/** When access comes back they are drafts like any other. */
export async function endedDrafts(store: Store): Promise<EndedDraftRecord[]> {
  const told = await store.ended_drafts.toArray();
  const seen = new Set<string>();
  for (const job_id of new Set(told.map((one) => one.job_id))) {
    if ((await store.cursors.get(job_id)) ?? (await store.rows.get(["job", job_id]))) {
      seen.add(job_id);
    }
  }
  return told.filter(({ job_id }) => !seen.has(job_id));
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
