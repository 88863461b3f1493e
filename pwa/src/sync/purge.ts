/**
 * A job that this person may no longer see. What was done and not yet sent is handed to the server
 * first (it sets it aside for a person to look at); only then rows and photos go. A photo whose bytes
 * nobody else has stays with the person who took it, under "Needs your attention".
 */
import type { Store } from "../local/store";
import { letGoOfPhoto } from "./photo_state";

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
    for (const table of [store.rows, store.overlay]) {
      await table.where("job_id").equals(job_id).delete();
    }
    // The lane's count stays: should access come back, a used number would look like a clone.
    await store.cursors.delete(job_id);
    return true;
  });
}

/** All that stays of the job's rows: its name, on what this person did and nobody has taken. */
async function nameTheJob(store: Store, job_id: string): Promise<void> {
  const rows = store.rows.where("job_id").equals(job_id);
  const job = await rows.filter(({ table }) => table === "job").first();
  if (typeof job?.fields.name === "string") {
    await store.attention.where("job_id").equals(job_id).modify({ job_name: job.fields.name });
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
