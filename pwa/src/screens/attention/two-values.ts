import type { OtherValue } from "../../local/rows";
import type { JobView } from "../../queries/job";
import { type PickableTable, pickableTables } from "../../queries/pickable";

export interface TwoValues {
  table: PickableTable;
  id: string;
  field: string;
  now: unknown;
  /** What was pushed aside, the last one first. */
  others: OtherValue[];
}

type Row = { id: string; two_values?: Record<string, OtherValue> };

/** Each keeps the one that it had pushed aside before. */
function allOf(other: OtherValue): OtherValue[] {
  return [other, ...(other.before ? allOf(other.before) : [])];
}

function ofRows(rows: readonly Row[], { table }: { table: PickableTable }): TwoValues[] {
  return rows.flatMap((row) =>
    Object.entries(row.two_values ?? {}).map(([field, other]) => ({
      table,
      id: row.id,
      field,
      now: (row as unknown as Record<string, unknown>)[field],
      others: allOf(other),
    })),
  );
}

/** Every field of a job that people changed at once, nobody has settled yet, and this person can. */
export function twoValuesOf(view: JobView): TwoValues[] {
  const rows = { issue: view.issues, unit: view.units, step: view.steps, visit: view.visits };
  return pickableTables().flatMap((table) => ofRows(rows[table], { table }));
}

/** Where the row is seen and changed. */
export function placeOfRow(
  two: Pick<TwoValues, "table" | "id">,
  { view }: { view: JobView },
): string {
  const job = `/job/${view.job.id}`;
  if (two.table === "visit") return `${job}/office`;
  if (two.table !== "step") return `${job}/${two.table}/${two.id}`;
  const unitId = view.stepById.get(two.id)?.unit_id;
  return unitId ? `${job}/unit/${unitId}` : job;
}
