import type { FieldsOf, StepState, Verdict } from "../local/rows";
import type { PhotoAddFields, PhotoMarkFields, ReadingFields, StepMarkFields } from "./fields";
import type { Overlay, Seen } from "./mirror";

function stepFields(seen: Seen, state: StepState): Partial<FieldsOf<"step">> {
  const done = state === "done";
  return {
    state,
    done_at: done ? seen.by.at : null,
    done_by_name: done ? seen.by.name : null,
    // Doing a step again is what makes a reset good.
    ...(done ? { reset_by: null } : {}),
  };
}

export async function mirrorStepMark(fields: StepMarkFields, seen: Seen): Promise<Overlay[]> {
  const { state } = fields;
  const note = fields.note === null ? {} : { note: fields.note };
  const before = state && (await seen.row({ table: "step", id: seen.id }));
  // Of two values the one that counts was picked: its proof stays.
  const isPicked = before?.state === state && "state" in (before?.two_values ?? {});
  const how = isPicked ? { state } : state && stepFields(seen, state);
  const marked = { ...how, ...note };
  return [{ table: "step", id: seen.id, fields: marked, makes: false }];
}

const STEP_AFTER: Record<Verdict, StepState | null> = {
  pass: "done",
  fail: "failed",
  unclear: null,
};

/** One reading for many units: that something is wrong may be true of another unit. As on the server. */
const FOR_MANY_UNITS = ["addresses"];

export async function mirrorReading(fields: ReadingFields, seen: Seen): Promise<Overlay[]> {
  const row: FieldsOf<"reading"> = {
    ...fields,
    server_outputs: null,
    differs: false,
    by_name: seen.by.name,
  };
  const reading: Overlay = { table: "reading", id: seen.id, fields: row, makes: true };
  const state = fields.verdict && STEP_AFTER[fields.verdict];
  const isOfAnother = state === "failed" && FOR_MANY_UNITS.includes(fields.calculation);
  if (!fields.step_id || !state || isOfAnother) {
    return [reading];
  }
  const step = { ...stepFields(seen, state), reading_id: seen.id };
  return [reading, { table: "step", id: fields.step_id, fields: step, makes: false }];
}

export async function mirrorPhotoAdd(fields: PhotoAddFields, seen: Seen): Promise<Overlay[]> {
  const row: FieldsOf<"photo"> = {
    issue_id: null,
    reading_id: null,
    unit_id: null,
    ...fields,
    state: "pending",
    refused_reason: null,
    by_name: seen.by.name,
  };
  return [{ table: "photo", id: seen.id, fields: row, makes: true }];
}

/** As on the server: added to what others drew, never in its place. */
export async function mirrorPhotoMark(fields: PhotoMarkFields, seen: Seen): Promise<Overlay[]> {
  const before = await seen.row({ table: "photo", id: seen.id });
  const marks = [...(before?.marks ?? []), ...fields.marks];
  return [{ table: "photo", id: seen.id, fields: { marks }, makes: false }];
}
