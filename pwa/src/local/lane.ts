import type { OutboxRecord } from "./records";
import type { Store } from "./store";

type Place = Required<Pick<OutboxRecord, "seq" | "written">>;

/** Dense from 1 in each lane: taken inside the transaction, so that a failed save leaves no gap. */
export async function nextPlace(store: Store, job_id: string): Promise<Place> {
  const lane = await store.lanes.get(job_id);
  const [seq, written] = [(lane?.last_seq ?? 0) + 1, (lane?.written ?? 0) + 1];
  await store.lanes.put({ job_id, last_seq: seq, written });
  return { seq, written };
}

/** Inside a transaction: numbers are dealt anew from there; how many were written is another matter. */
export async function countFrom(store: Store, job_id: string, last_seq: number): Promise<void> {
  await store.lanes.put({ ...(await store.lanes.get(job_id)), job_id, last_seq });
}

/** What has no such number is of an older app or another store, and was written before. */
export function byWriting(one: OutboxRecord, other: OutboxRecord): number {
  return (one.written ?? 0) - (other.written ?? 0);
}
