/** What of a change can be put right on its card: text, days, numbers, and choices that are few. */
import type { MutationType } from "../../local/records";
import type { AttentionItem } from "../../queries/attention";
import { currentVisit } from "../parts/unit-words";
import type { Known } from "./field-words";

const KINDS = {
  words: "text",
  action: "text",
  evidence: "text",
  note: "text",
  reason: "text",
  address: "text",
  model_note: "text",
  name: "line",
  contractor_firm: "line",
  floor: "line",
  place: "line",
  room: "line",
  group_address: "line",
  central_address: "line",
  feeder: "line",
  promised_on: "day",
  due_on: "day",
  starts_at: "moment",
  taken_at: "moment",
  shift_start: "clock",
  shift_end: "clock",
  room_m3: "number",
  floor_order: "number",
  planned_s: "hours",
  purpose: "choice",
  state: "choice",
  who_must_act: "choice",
  person_id: "choice",
  unit_id: "choice",
  visit_id: "choice",
  step_id: "choice",
  replaces_id: "choice",
  fixed: "yes_no",
  opens_circuit: "yes_no",
} as const;
export type MendableField = keyof typeof KINDS;
export type MendKind = (typeof KINDS)[MendableField];

export const kindOf = (field: MendableField): MendKind => KINDS[field];

const ISSUE = [
  "words",
  "action",
  "evidence",
  "due_on",
  "unit_id",
  "who_must_act",
  "opens_circuit",
] as const;
const OF_TYPE: Record<MutationType, readonly MendableField[]> = {
  "job.create": ["name", "address", "contractor_firm", "shift_start", "shift_end"],
  "visit.plan": ["purpose", "starts_at", "planned_s", "person_id", "note"],
  "visit.set": ["purpose", "starts_at", "planned_s", "person_id", "note"],
  "visit.cancel": ["note"],
  "visit.close": ["note"],
  "issue.raise": [...ISSUE, "visit_id"],
  "issue.set": ISSUE,
  "issue.answer": ["words", "fixed", "promised_on"],
  "issue.prove": ["words"],
  "issue.send_back": ["words"],
  "issue.accept": ["name", "reason"],
  "step.mark": ["state", "note"],
  "reading.record": ["visit_id", "step_id", "replaces_id", "reason", "taken_at"],
  "photo.add": [],
  "photo.mark": [],
  "unit.set": [
    "floor",
    "floor_order",
    "place",
    "room",
    "room_m3",
    "group_address",
    "central_address",
    "feeder",
    "model_note",
  ],
};

/** Chosen with care on a screen of its own: offered here only where something is wrong with it. */
const ONLY_WHERE_WRONG = new Set<string>([
  "unit_id",
  "who_must_act",
  "opens_circuit",
  "visit_id",
  "step_id",
  "replaces_id",
  "taken_at",
  "shift_start",
  "shift_end",
]);

/** Which fields a reason speaks of by itself: nothing more need be said of those. */
const OF_REASON: Record<string, readonly string[]> = {
  unknown_person: ["person_id"],
  not_a_technician: ["person_id"],
  visit_closed: ["visit_id"],
  visit_cancelled: ["visit_id"],
  wrong_step: ["step_id"],
  replaces_another_kind: ["replaces_id"],
  empty_answer: ["words", "fixed", "promised_on"],
  too_many_marks: ["marks"],
  one_owner: ["issue_id", "reading_id", "unit_id"],
  id_twice: ["systems", "units"],
  system_twice: ["systems"],
  not_your_move: ["role"],
  not_your_step: ["step"],
  not_your_photo: ["issue_id"],
  fixer_cannot_prove: ["answered_by_name"],
};

export function isSaidByReason(field: string, { code }: { code: string }): boolean {
  return OF_REASON[code]?.includes(field) === true;
}

type Item = Pick<AttentionItem, "type" | "code" | "fields" | "problem_fields">;

/** In the order in which they stand on the card. */
export function mendableFields(item: Item, { view }: Known): MendableField[] {
  const fields = OF_TYPE[item.type as MutationType] ?? [];
  return fields.filter((field) => {
    if (isWrong(field, item, { view })) return isOffered(field, { view });
    return !ONLY_WHERE_WRONG.has(field) && wasWritten(field, item);
  });
}

/** What a person left empty is no work of theirs; words are asked for either way. */
function wasWritten(field: MendableField, { fields }: Item): boolean {
  const value = fields[field] ?? null;
  return value !== null && (value !== "" || field === "words");
}

/** Rows of the job can only be chosen where the job is. */
function isOffered(field: MendableField, { view }: Known): boolean {
  return field !== "unit_id" || Boolean(view);
}

export function isWrong(field: string, item: Item, { view }: Known): boolean {
  return (
    field in item.problem_fields || isSaidByReason(field, item) || isDangling(field, item, { view })
  );
}

/** It points at a row that the job, as this phone has it, does not hold. */
function isDangling(field: string, { code, fields }: Item, { view }: Known): boolean {
  const id = fields[field];
  if (code !== "not_found" || !view || typeof id !== "string") return false;
  const rows = {
    unit_id: view.unitById,
    visit_id: view.visitById,
    step_id: view.stepById,
    replaces_id: new Map(view.readings.map((one) => [one.id, one])),
  }[field];
  return rows !== undefined && !rows.has(id);
}

/** What the card proposes where the server did not take what was chosen. */
export function proposedFields(item: Item, known: Known): Record<string, unknown> {
  const wrong = mendableFields(item, known).filter((field) => isWrong(field, item, known));
  const proposed: Record<string, unknown> = {};
  if (wrong.includes("visit_id")) proposed["visit_id"] = otherVisit(item, known);
  for (const field of ["step_id", "replaces_id"] as const) {
    if (wrong.includes(field)) proposed[field] = null;
  }
  return proposed;
}

/** The visit that its author is on by now; without one the reading stands for itself. */
function otherVisit({ fields }: Item, { view }: Known): string | null {
  const open = view && currentVisit(view);
  return open && open.id !== fields["visit_id"] ? open.id : null;
}
