import type { FieldsOf } from "../local/rows";
import type { JobCreateFields, UnitSetFields, VisitCloseFields, VisitPlanFields } from "./fields";
import type { Overlay, Seen } from "./mirror";

/** Steps and limits are the server's to make; until they arrive the job shows its units. */
export async function mirrorJobCreate(fields: JobCreateFields, seen: Seen): Promise<Overlay[]> {
  const { systems, units, ...about } = fields;
  const job: FieldsOf<"job"> = { ...about, state: "open", created_at: seen.by.at };
  return [
    { table: "job", id: seen.id, fields: job, makes: true },
    ...systems.map(
      ({ id, ...row }) => ({ table: "system", id, fields: row, makes: true }) as const,
    ),
    ...units.map(({ id, ...row }) => ({ table: "unit", id, fields: row, makes: true }) as const),
  ];
}

export async function mirrorUnitSet(fields: UnitSetFields, seen: Seen): Promise<Overlay[]> {
  return [{ table: "unit", id: seen.id, fields, makes: false }];
}

export async function mirrorVisitPlan(fields: VisitPlanFields, seen: Seen): Promise<Overlay[]> {
  const row: FieldsOf<"visit"> = {
    ...fields,
    person_name: await seen.personName(fields.person_id),
    state: "planned",
    summary: null,
    closed_at: null,
  };
  return [{ table: "visit", id: seen.id, fields: row, makes: true }];
}

export async function mirrorVisitClose(fields: VisitCloseFields, seen: Seen): Promise<Overlay[]> {
  const row = { state: "closed", ...fields, closed_at: seen.by.at };
  return [{ table: "visit", id: seen.id, fields: row, makes: false }];
}
