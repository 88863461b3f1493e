/** A photo that cannot be sent as things are: counted, and told to its author once that is clear. */
import type { Store } from "../local/store";
import { tellOfPhoto } from "./photo_state";

/** The first no may come between two pulls: access that just ended, an upload that was forgotten. (P) */
const TOLD_AFTER = 3;

type Declined = { id: string; why: "not_taken" | "damaged" };

/** Held from then on, so that it counts as waiting for a person and no longer for signal. */
export async function decline(store: Store, { id, why }: Declined): Promise<void> {
  await store.transaction("rw", store.uploads, store.attention, async () => {
    const upload = await store.uploads.get(id);
    if (!upload) {
      // Given up while it was on its way.
      return;
    }
    const times = (upload.declined?.times ?? 0) + 1;
    const held = upload.held || why === "damaged" || times >= TOLD_AFTER;
    await store.uploads.update(id, { held, declined: { times, at: new Date().toISOString() } });
    if (held && !upload.held) {
      const { job_id, taken_at } = upload;
      await tellOfPhoto(store, { id, job_id, fields: { taken_at }, code: `photo_${why}` });
    }
  });
}

/** The server waits for it, and this phone has nothing of it that could be sent. */
export async function tellOfMissing(store: Store, id: string): Promise<void> {
  await store.transaction("rw", store.uploads, store.attention, async () => {
    const upload = await store.uploads.get(id);
    if (upload) {
      const { job_id, taken_at } = upload;
      await store.uploads.delete(id);
      await tellOfPhoto(store, { id, job_id, fields: { taken_at }, code: "photo_gone" });
    }
  });
}
