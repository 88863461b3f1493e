/**
 * The company has ended this person's access. Jobs go as any job that is no more theirs, once what was done on
 * them is handed over; here goes what else is known of the company: its people.
 */
import type { Store } from "../local/store";

export const ENDED = "access_ended";

export async function isEnded(store: Store): Promise<boolean> {
  return (await store.meta.get(ENDED)) !== undefined;
}

/** As the last answer had it: who comes back goes on where they were. */
export async function noteEnd(store: Store, { ended }: { ended: boolean }): Promise<void> {
  if (ended === (await isEnded(store))) {
    return;
  }
  await store.transaction("rw", store.meta, async () => {
    if (!ended) {
      return await store.meta.delete(ENDED);
    }
    await store.meta.put({ name: ENDED, value: true });
    await store.meta.bulkDelete(["people", "people_kept_rev"]);
  });
}
