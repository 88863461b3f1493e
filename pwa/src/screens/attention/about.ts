import "../../text/checks";
import type { AttentionItem } from "../../queries/attention";
import type { JobView } from "../../queries/job";
import { issueTitle, issueWhere } from "../parts/issue-words";
import { placeOf, wordsFor } from "../parts/unit-words";
import { stepName } from "./two-values";

/**
 * What a change is about, as the person knows it: the issue, the step, the reading, the unit. What it
 * would have made is not on the job; then what it would have hung on is named.
 */
export function aboutWords(
  { entity, fields }: Pick<AttentionItem, "entity" | "fields">,
  { view }: { view: JobView },
): string {
  const photo = view.photos.find((one) => one.id === entity);
  const ids = [entity, fields.issue_id, photo?.issue_id, fields.step_id].map(String);
  const issue = view.issueById.get(ids.find((id) => view.issueById.has(id)) ?? "");
  if (issue) return `${issueTitle(issue)} · ${issueWhere(issue, { view })}`;
  const step = ids.find((id) => view.stepById.has(id));
  if (step) return stepName(step, { view });
  const unit = view.unitById.get(String(fields.unit_id ?? photo?.unit_id ?? entity));
  const { calculation, category } = fields;
  return [
    calculation && wordsFor("calculation", String(calculation)),
    category && wordsFor("category", String(category)),
    unit && `${unit.tag} · ${placeOf(unit)}`,
  ]
    .filter(Boolean)
    .join(" · ");
}
