/**
 * The rows of one job, merged. What the server told is read again only when a pull moved the job's
 * cursor; something written on this phone costs a look at the overlay alone.
 */
import { type Merged, mergeRows } from "../local/merge";
import type { BaseRecord } from "../local/records";
import type { Store } from "../local/store";

type Kept = { stamp: string; rows: BaseRecord[] };
const kept = new Map<string, Kept>();

/** Rows and overlay are read in one transaction: a pull moves both at once. */
export async function readMerged(store: Store, job_id: string): Promise<Merged> {
  const tables = [store.rows, store.overlay, store.cursors];
  return await store.transaction("r", tables, async () => {
    const base = await readBase(store, job_id);
    const overlay = await store.overlay.where("job_id").equals(job_id).toArray();
    return mergeRows(base, overlay);
  });
}

async function readBase(store: Store, job_id: string): Promise<BaseRecord[]> {
  const stamp = JSON.stringify((await store.cursors.get(job_id)) ?? null);
  const key = `${store.name}/${job_id}`;
  const known = kept.get(key);
  if (known?.stamp === stamp) {
    return known.rows;
  }
  const rows = await store.rows.where("job_id").equals(job_id).toArray();
  kept.set(key, { stamp, rows });
  return rows;
}
