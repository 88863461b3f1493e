/** One row as a person should see it: what the server told, with what this phone did laid over it. */
import { Dexie } from "dexie";
import type { BaseRecord, OverlayRecord } from "./records";
import type { RowOf, TableName } from "./rows";
import type { Store } from "./store";

export type AnyRow = RowOf[TableName];
export type Merged = { [T in TableName]: RowOf[T][] };

const TABLES: TableName[] = [
  "job",
  "system",
  "unit",
  "visit",
  "step",
  "issue",
  "issue_event",
  "reading",
  "photo",
  "limit",
];

type Loose = {
  id: string;
  job_id: string;
  rev: number;
  pending: boolean;
  [field: string]: unknown;
};

export function mergeRows(base: BaseRecord[], overlay: OverlayRecord[]): Merged {
  const byTable = new Map(TABLES.map((table) => [table, new Map<string, Loose>()]));
  for (const { table, id, job_id, rev, fields } of base) {
    byTable.get(table)?.set(id, { ...fields, id, job_id, rev, pending: false });
  }
  for (const change of overlay.toSorted((a, b) => a.n - b.n)) {
    const rows = byTable.get(change.table);
    const before = rows?.get(change.id);
    // A change to a row that the server has taken away shows nothing.
    if (before || change.makes) {
      rows?.set(change.id, layOver(before, change));
    }
  }
  return Object.fromEntries(
    Array.from(byTable, ([table, rows]) => [table, [...rows.values()]]),
  ) as Merged;
}

function layOver(before: Loose | undefined, change: OverlayRecord): Loose {
  return {
    ...before,
    ...change.fields,
    ...unsettled(before, change),
    id: change.id,
    job_id: change.job_id,
    rev: Math.max(before?.rev ?? 0, change.rev ?? 0),
    pending: before?.pending === true || change.rev === null,
  };
}

/** Writing a field again settles its two values: chosen on this phone, it is no longer asked here. */
function unsettled(before: Loose | undefined, { fields }: OverlayRecord): object {
  if (!before?.two_values) return {};
  const left = Object.entries(before.two_values).filter(([name]) => !(name in fields));
  return { two_values: Object.fromEntries(left) };
}

/** One merged row; call it inside a transaction that covers rows and overlay. */
export async function readRow<T extends TableName>(
  store: Store,
  key: { table: T; id: string },
): Promise<RowOf[T] | undefined> {
  const base = await store.rows.get([key.table, key.id]);
  const overlay = await store.overlay.where("[table+id]").equals([key.table, key.id]).toArray();
  return mergeRows(base ? [base] : [], overlay)[key.table][0];
}

/**
 * Several rows at once. Not an async function: a live query, like a transaction, follows the store's own promises
 * to their end, and those of functions for some turns only, of which all that are open share a hundred.
 */
export function readRows(store: Store, keys: [TableName, string][]): PromiseLike<Merged> {
  return Dexie.Promise.all([
    store.rows.bulkGet(keys),
    store.overlay.where("[table+id]").anyOf(keys).toArray(),
  ]).then(([rows, overlay]) =>
    mergeRows(
      rows.filter((row) => row !== undefined),
      overlay,
    ),
  );
}
