import type { Store } from "./store";

/** Dense from 1 in each lane: taken inside the transaction, so that a failed save leaves no gap. */
export async function nextSeq(store: Store, job_id: string): Promise<number> {
  const last_seq = ((await store.lanes.get(job_id))?.last_seq ?? 0) + 1;
  await store.lanes.put({ job_id, last_seq });
  return last_seq;
}
