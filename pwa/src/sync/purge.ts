/**
 * A job that this person may no longer see. What was done and not yet sent is handed to the server
 * first (it sets it aside for a person to look at); only then rows and photos go. A photo whose bytes
 * nobody else has stays with the person who took it, under "Needs your attention"; so does what they had begun.
 */
import { readRow } from "../local/merge";
import type { Store } from "../local/store";
import { calledOn } from "./called";
import { tellOfDrafts } from "./ended_drafts";
import { letGoOfPhoto, letGoOfStrayPictures } from "./photo_state";

export async function purgeGone(store: Store): Promise<void> {
  for (const { job_id } of await store.cursors.filter((one) => one.gone).toArray()) {
    await purgeIfNothingWaits(store, job_id);
  }
}

export async function purgeIfNothingWaits(store: Store, job_id: string): Promise<boolean> {
  return await store.transaction("rw", store.tables, async () => {
    const waiting = await store.outbox
      .where("[job_id+seq]")
      .between([job_id, 0], [job_id, Number.POSITIVE_INFINITY])
      .count();
    if (waiting > 0) {
      return false;
    }
    await purgePhotos(store, job_id);
    await nameTheJob(store, job_id);
    // What was sent is offered again should the server lose it; what it showed were rows of the job.
    await store.receipts.where("job_id").equals(job_id).modify({ shown: [] });
    for (const table of [store.rows, store.overlay]) {
      await table.where("job_id").equals(job_id).delete();
    }
    await letGoOfStrayPictures(store);
    // The lane's count stays: should access come back, a used number would look like a clone.
    await store.cursors.delete(job_id);
    return true;
  });
}

/** All that stays of the job's rows: names, on what this person did or began and nobody has taken. */
async function nameTheJob(store: Store, job_id: string): Promise<void> {
  const job = await readRow(store, { table: "job", id: job_id });
  if (job) {
    const job_name = job.name;
    for (const card of await store.attention.where("job_id").equals(job_id).toArray()) {
      await store.attention.update(card.id, { job_name, ...(await calledOn(store, card)) });
    }
    await tellOfDrafts(store, { job_id, job_name });
  }
}

async function purgePhotos(store: Store, job_id: string): Promise<void> {
  const rows = await store.rows.where("job_id").equals(job_id).toArray();
  const shown = rows.filter((row) => row.table === "photo").map((row) => row.id);
  const uploads = await store.uploads.where("job_id").equals(job_id).primaryKeys();
  for (const id of new Set([...shown, ...uploads])) {
    await letGoOfPhoto(store, id);
  }
}
