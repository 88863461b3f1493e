import type { OutboxRecord } from "./records";
import type { Store } from "./store";

type Place = Required<Pick<OutboxRecord, "seq" | "written">>;

/** Dense from 1 in each lane: taken inside the transaction, so that a failed save leaves no gap. */
export async function nextPlace(store: Store, job_id: string): Promise<Place> {
  const lane = await store.lanes.get(job_id);
  const last_seq = lane?.last_seq ?? 0;
  // An older app in another tab counts in one way only.
  const [seq, written] = [last_seq + 1, Math.max(last_seq, lane?.written ?? 0) + 1];
  await store.lanes.put({ job_id, last_seq: seq, written });
  return { seq, written };
}

/** Inside a transaction: numbers are dealt anew from there; how many were written is another matter. */
export async function countFrom(store: Store, job_id: string, last_seq: number): Promise<void> {
  await store.lanes.put({ ...(await store.lanes.get(job_id)), job_id, last_seq });
}

/** What has no such number was written by an older app, which in another tab counts on from the same one. */
export function byWriting(one: OutboxRecord, other: OutboxRecord): number {
  return (one.written ?? one.seq) - (other.written ?? other.seq);
}
