/**
 * Does this phone hold just the rows that the server would give it? Compared now and then, job by
 * job, over ids and revisions. Where it does not, the job is read again from the start, once, and the
 * server is told; the phone never takes over the other side's sum.
 */
import type { BaseRecord, CursorRecord } from "../local/records";
import type { Store } from "../local/store";
import { isKnownTable } from "./shapes";

/** Often enough to find a fault within a day's work; reading all rows of a job takes a moment. (P) */
const CHECK_EVERY_MS = 6 * 3_600_000;
/** In one request. */
const MOST_JOBS = 5;
/** Hexadecimal digits of the sha256, as the server sends it. */
const LENGTH = 32;
export const REPORTS = "differed";

export type Sums = Record<string, string>;
type Report = { job_id: string; tables: string[] };

/** Jobs that have been read to the end and were not compared for a while, longest ago first. */
export async function dueForCheck(store: Store): Promise<string[]> {
  if (!globalThis.crypto?.subtle) {
    return [];
  }
  const [before, now] = [Date.now() - CHECK_EVERY_MS, Date.now()].map((ms) =>
    new Date(ms).toISOString(),
  ) as [string, string];
  const checkedAt = (one: CursorRecord) => one.checked_at ?? "";
  // Of a time that is still to come nothing is known: the phone's clock was ahead then.
  const isDue = (one: CursorRecord) => checkedAt(one) < before || checkedAt(one) > now;
  const due = await store.cursors
    .filter((one) => !one.gone && one.cursor !== null && isDue(one))
    .toArray();
  due.sort((a, b) => checkedAt(a).localeCompare(checkedAt(b)));
  return due.slice(0, MOST_JOBS).map((one) => one.job_id);
}

/** True when a job must be read again from the start. */
export async function compareSums(
  store: Store,
  { check, sums }: { check: string[]; sums: Record<string, Sums> },
): Promise<boolean> {
  let isAgain = false;
  for (const job_id of check) {
    const theirs = sums[job_id];
    if (theirs && (await compareJob(store, { job_id, theirs }))) {
      isAgain = true;
    }
  }
  return isAgain;
}

async function compareJob(
  store: Store,
  { job_id, theirs }: { job_id: string; theirs: Sums },
): Promise<boolean> {
  const ours = await sumsOf(await store.rows.where("job_id").equals(job_id).toArray());
  const tables = [...new Set([...Object.keys(ours), ...Object.keys(theirs)])].filter(
    (table) => isKnownTable(table) && ours[table] !== theirs[table],
  );
  return await store.transaction("rw", store.cursors, store.meta, async () => {
    const known = await store.cursors.get(job_id);
    if (!known) {
      return false;
    }
    const checked = { ...known, checked_at: new Date().toISOString() };
    if (tables.length === 0) {
      delete checked.read_again_for;
      await store.cursors.put(checked);
      return false;
    }
    const report: Report = { job_id, tables };
    await store.meta.put({ name: REPORTS, value: [...(await reportsToSend(store)), report] });
    const read_again_for = JSON.stringify(theirs);
    if (known.read_again_for === read_again_for) {
      // Read again already, and still not alike: another time would bring the same.
      await store.cursors.put(checked);
      return false;
    }
    // Compared once more as soon as it has been read.
    const { checked_at: _never, ...anew } = known;
    await store.cursors.put({ ...anew, cursor: null, read_again_for });
    await store.meta.delete("mark");
    return true;
  });
}

/** As the server does it: per table, `id:rev` of every row in order of the ids. */
export async function sumsOf(rows: BaseRecord[]): Promise<Sums> {
  const byTable = new Map<string, string[]>();
  for (const { table, id, rev } of rows) {
    const lines = byTable.get(table) ?? [];
    lines.push(`${id}:${rev}`);
    byTable.set(table, lines);
  }
  const sums: Sums = {};
  for (const [table, lines] of byTable) {
    sums[table] = await sha256(lines.toSorted().join(","));
  }
  return sums;
}

async function sha256(text: string): Promise<string> {
  const digest = await crypto.subtle.digest("SHA-256", new TextEncoder().encode(text));
  return Array.from(new Uint8Array(digest), (byte) => byte.toString(16).padStart(2, "0"))
    .join("")
    .slice(0, LENGTH);
}

/** What the server has not been told of yet. */
export async function reportsToSend(store: Store): Promise<Report[]> {
  const kept = (await store.meta.get(REPORTS))?.value;
  return Array.isArray(kept) ? (kept as Report[]) : [];
}
