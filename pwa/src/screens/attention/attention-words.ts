import type { AttentionRecord } from "../../local/records";
import { hasText, type TextKey, t } from "../../text";
import { isReadable } from "./problem-words";

/** The text key for a mutation's type: "issue.answer" -> "attention.what.issue_answer". */
export function whatKey(
  type: string,
  { hasText }: { hasText: (id: string) => id is TextKey },
): TextKey {
  // A photo that was refused by itself, after its announcement was taken.
  const key = `attention.what.${type === "photo" ? "photo_add" : type.replace(".", "_")}`;
  return hasText(key) ? key : "attention.what.other";
}

type Refusal = Pick<AttentionRecord, "type" | "code" | "message" | "problem_fields">;

/** Why it was not taken: in our words where there are some, else in the server's, never a code. */
export function whyWords({ type, code, message, problem_fields }: Refusal): string {
  const own = `attention.why.${code}_${type.replace(".", "_")}`;
  const key = [own, `attention.why.${code}`].find(hasText);
  if (key) return t(key);
  const isOfInputs = Object.keys(problem_fields).some((field) => field.startsWith("inputs."));
  if (isOfInputs) return t("attention.why.inputs");
  return isReadable(message) ? t("attention.why.other", { message }) : t("attention.why.no_words");
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
