import type { FieldsOf, StepState, Verdict } from "../local/rows";
import type { PhotoAddFields, ReadingFields, StepMarkFields } from "./fields";
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
  return [
    {
      table: "step",
      id: seen.id,
      fields: { ...stepFields(seen, fields.state), note: fields.note },
      makes: false,
    },
  ];
}

const STEP_AFTER: Record<Verdict, StepState | null> = {
  pass: "done",
  fail: "failed",
  unclear: null,
};

export async function mirrorReading(fields: ReadingFields, seen: Seen): Promise<Overlay[]> {
  const row: FieldsOf<"reading"> = {
    ...fields,
    server_outputs: null,
    differs: false,
    by_name: seen.by.name,
  };
  const reading: Overlay = { table: "reading", id: seen.id, fields: row, makes: true };
  const state = STEP_AFTER[fields.verdict];
  if (!fields.step_id || !state) {
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
