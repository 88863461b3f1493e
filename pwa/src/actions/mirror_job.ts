import type { FieldsOf } from "../local/rows";
import type {
  JobCreateFields,
  UnitSetFields,
  VisitCancelFields,
  VisitCloseFields,
  VisitPlanFields,
  VisitSetFields,
} from "./fields";
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

export async function mirrorVisitSet(fields: VisitSetFields, seen: Seen): Promise<Overlay[]> {
  const { person_id } = fields;
  const person = person_id ? { person_name: await seen.personName(person_id) } : {};
  return [{ table: "visit", id: seen.id, fields: { ...fields, ...person }, makes: false }];
}

/** Where nothing is written the note of the plan stays. */
export async function mirrorVisitCancel(fields: VisitCancelFields, seen: Seen): Promise<Overlay[]> {
  const row = { state: "cancelled", ...(fields.note ? { note: fields.note } : {}) };
  return [{ table: "visit", id: seen.id, fields: row, makes: false }];
}

export async function mirrorVisitClose(fields: VisitCloseFields, seen: Seen): Promise<Overlay[]> {
  const row = { state: "closed", ...fields, closed_at: seen.by.at };
  return [{ table: "visit", id: seen.id, fields: row, makes: false }];
}
