import type { AttentionRecord } from "../../local/records";
import type { TextKey } from "../../text";
import { wordsFor } from "../parts/unit-words";

/** The fields of a change that a person wrote and can mend here; the rest is chosen on its own screen. */
const MENDABLE = [
  "words",
  "action",
  "evidence",
  "note",
  "reason",
  "name",
  "promised_on",
  "due_on",
] as const;
export type MendableField = (typeof MENDABLE)[number];

export function mendableFields(fields: Record<string, unknown>): MendableField[] {
  return MENDABLE.filter((field) => typeof fields[field] === "string");
}

export function isDateField(field: MendableField): boolean {
  return field.endsWith("_on");
}

/** The text key for a mutation's type: "issue.answer" -> "attention.what.issue_answer". */
export function whatKey(
  type: string,
  { hasText }: { hasText: (id: string) => id is TextKey },
): TextKey {
  // A photo that was refused by itself, after its announcement was taken.
  const key = `attention.what.${type === "photo" ? "photo_add" : type.replace(".", "_")}`;
  return hasText(key) ? key : "attention.what.other";
}

export function whyKey(
  code: string,
  { hasText }: { hasText: (id: string) => id is TextKey },
): TextKey {
  const key = `attention.why.${code}`;
  return hasText(key) ? key : "attention.why.other";
}

export function outcomeKey(outcome: AttentionRecord["outcome"]): TextKey {
  if (outcome === "photo_unsent" || outcome === "photo_damaged") return "attention.unsent";
  if (outcome === "photo_gone") return "attention.gone";
  return outcome === "set_aside" ? "attention.set_aside" : "attention.refused";
}

/** Does it stand for a photo whose bytes may be on this device only? */
export function isPhotoOf({ type }: Pick<AttentionRecord, "type">): boolean {
  return type === "photo" || type === "photo.add";
}

/** Of these the reason says all there is to say, in words. */
const SAID_BY_THE_REASON = new Set(["role", "step", "person_id"]);

/** What was wrong with fields that cannot be mended here. */
export function otherProblems({
  fields,
  problem_fields,
}: Pick<AttentionRecord, "fields" | "problem_fields">): [string, string][] {
  const mendable = new Set<string>(mendableFields(fields));
  return Object.entries(problem_fields)
    .filter(([field, said]) => said && !mendable.has(field) && !SAID_BY_THE_REASON.has(field))
    .map(([field, said]) => [field, field === "state" ? wordsFor("attention.state", said) : said]);
}
