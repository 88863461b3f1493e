import type { OtherValue } from "../../local/rows";
import type { JobView } from "../../queries/job";

/** The tables in which a person can pick one of two values from this screen. */
export type PickableTable = "issue" | "unit" | "step";

export interface TwoValues {
  table: PickableTable;
  id: string;
  field: string;
  now: unknown;
  other: OtherValue;
}

type Row = { id: string; two_values?: Record<string, OtherValue> };

function ofRows(rows: readonly Row[], { table }: { table: PickableTable }): TwoValues[] {
  return rows.flatMap((row) =>
    Object.entries(row.two_values ?? {}).map(([field, other]) => ({
      table,
      id: row.id,
      field,
      now: (row as unknown as Record<string, unknown>)[field],
      other,
    })),
  );
}

/** Every field of a job that two people changed at once and nobody has settled yet. */
export function twoValuesOf(view: JobView): TwoValues[] {
  return [
    ...ofRows(view.issues, { table: "issue" }),
    ...ofRows(view.units, { table: "unit" }),
    ...ofRows(view.steps, { table: "step" }),
  ];
}

/** Where the row is seen and changed. */
export function placeOfRow(two: TwoValues, { view }: { view: JobView }): string {
  const job = `/job/${view.job.id}`;
  if (two.table !== "step") return `${job}/${two.table}/${two.id}`;
  const unitId = view.stepById.get(two.id)?.unit_id;
  return unitId ? `${job}/unit/${unitId}` : job;
}
