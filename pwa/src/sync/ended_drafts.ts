/**
 * What was begun about something that leaves this phone: no screen leads to it any more. It stays, and is
 * listed, until that comes back or its author gives it up.
 */
import { entryOf } from "../local/drafts";
import type { EndedDraftRecord } from "../local/records";
import type { TableName } from "../local/rows";
import type { Store } from "../local/store";

type OfJob = Pick<EndedDraftRecord, "job_id" | "job_name">;

/** Inside the transaction that takes the whole job away. */
export async function tellOfDrafts(store: Store, about: OfJob): Promise<void> {
  const ids = await idsOf(store, about.job_id);
  const keys = (await store.drafts.toCollection().primaryKeys()).map(entryOf);
  const ended = keys.filter((key) => partsOf(key).some((part) => ids.has(part)));
  await store.ended_drafts.bulkPut(ended.map((key) => ({ key, ...about })));
}

type Removed = { job_id: string; rows: [TableName, string][] };

/**
 * Inside the transaction that takes these rows away, while the job stays. It asks the store itself and no
 * function of ours: too many turns between two questions, and the browser ends the transaction early.
 */
export async function tellOfRemoved(store: Store, { job_id, rows }: Removed): Promise<void> {
  const rowOf = new Map(rows.map((row) => [row[1], row]));
  const job = await store.rows.get(["job", job_id]);
  const keys = (await store.drafts.toCollection().primaryKeys()).map(entryOf);
  const ended = keys.flatMap((key) => {
    const row = partsOf(key)
      .map((part) => rowOf.get(part))
      .find(Boolean);
    return row ? [{ key, job_id, job_name: String(job?.fields["name"] ?? ""), row }] : [];
  });
  await store.ended_drafts.bulkPut(ended);
}

const partsOf = (key: string) => key.split(":");

/** Of the job and all that is known of it: the key of a draft names one of them. */
async function idsOf(store: Store, job_id: string): Promise<Set<string>> {
  const rows = await store.rows.where("job_id").equals(job_id).primaryKeys();
  const laidOver = await store.overlay.where("job_id").equals(job_id).toArray();
  return new Set([job_id, ...rows.map(([, id]) => id), ...laidOver.map(({ id }) => id)]);
}
