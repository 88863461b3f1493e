import { formatDay } from "../../format";
import { formatNumber } from "../../format/number";
import type { OtherValue } from "../../local/rows";
import type { JobView } from "../../queries/job";
import { type PickableTable, pickableTables } from "../../queries/pickable";
import { hasText, t } from "../../text";
import { listWords } from "../parts/issue-words";
import { wordsFor } from "../parts/unit-words";

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

/** Every field of a job that two people changed at once, nobody has settled yet, and this person can. */
export function twoValuesOf(view: JobView): TwoValues[] {
  const rows = { issue: view.issues, unit: view.units, step: view.steps };
  return pickableTables().flatMap((table) => ofRows(rows[table], { table }));
}

/** Where the row is seen and changed. */
export function placeOfRow(two: TwoValues, { view }: { view: JobView }): string {
  const job = `/job/${view.job.id}`;
  if (two.table !== "step") return `${job}/${two.table}/${two.id}`;
  const unitId = view.stepById.get(two.id)?.unit_id;
  return unitId ? `${job}/unit/${unitId}` : job;
}

/** "Power at every unit · L2-01" */
export function stepName(id: string, { view }: { view: JobView }): string {
  const step = view.stepById.get(id);
  const tag = step?.unit_id && view.unitById.get(step.unit_id)?.tag;
  return [step && wordsFor("step", step.code), tag].filter(Boolean).join(" · ");
}

type Shown = { field: string; view: JobView };
/** Whose codes have words elsewhere. */
const PREFIX: Partial<Record<string, string>> = {
  category: "category",
  who_must_act: "who",
  state: "attention.state",
  stops: "side",
};

/** A value as people write it: no code, no machine's day. */
export function valueWords(value: unknown, { field, view }: Shown): string {
  if (Array.isArray(value) && value.length > 0) {
    return listWords(value.map((one) => valueWords(one, { field, view })));
  }
  if (value === null || value === undefined || String(value) === "") {
    return t("attention.empty_value");
  }
  if (typeof value === "boolean") return t(value ? "attention.yes" : "attention.no");
  if (typeof value === "number") return formatNumber(value, { significant: 6 });
  // Of a field that only a newer app knows.
  if (value instanceof Object) return JSON.stringify(value);
  const prefix = PREFIX[field];
  if (prefix) return wordsFor(prefix, String(value));
  if (field.endsWith("_on")) return formatDay(String(value), { zone: view.job.time_zone });
  return view.unitById.get(String(value))?.tag ?? String(value);
}

export function fieldWords(field: string): string {
  const key = `attention.field.${field}`;
  return hasText(key) ? t(key) : field.replaceAll("_", " ");
}
