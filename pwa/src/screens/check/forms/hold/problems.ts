/** The engine counts readings in the order of time; on the screen there is only the one being typed. */

import type { Field } from "../../../parts/reading/entry";
import { problemWords } from "../../../parts/reading/problem-words";
import { asksReading, draftName, type Edit, othersOf } from "./edit";
import type { Told } from "./moment";
import { placed } from "./record";
import type { HoldDraft } from "./typed";
import type { HoldForm } from "./useHold";

type Where = { edit: Edit; tell: (draft: HoldDraft) => Told };

/** When it was filled is typed as how long before. */
export function shownBeside(field: string): string {
  return field === "filled_t_s" ? "filled_ago_s" : field;
}

/** `readings[3].gauge_pa` of the engine as the name of the field that is on the screen. */
function onScreen(field: string, { edit, at }: { edit: Edit; at: string | undefined }): string {
  const place = othersOf(edit).filter((point) => at !== undefined && point.at < at).length;
  return field.replace(placed(place, ""), placed(draftName(edit), ""));
}

export function problemsOf(form: HoldForm, { edit, tell }: Where) {
  const { live, fields } = form;
  if (live.kind !== "problem" || !asksReading(edit)) {
    return { errorOf: form.errorOf, problem: form.problem, unusual: form.unusual };
  }
  const at = tell(form.draft).moment?.at;
  const problem = { ...live.problem, field: onScreen(live.problem.field, { edit, at }) };
  const words = problemWords(problem, form);
  const beside = shownBeside(problem.field);
  const isBeside = fields.some((field) => field.name === beside);
  const errorOf = (field: Field) => (field.name === beside ? words : form.errorOf(field));
  // What is refused needs no reason to be kept.
  const unusual = form.unusual.filter((field) => !errorOf(field));
  return { errorOf, problem: isBeside ? undefined : words, unusual };
}
