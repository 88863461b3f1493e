import "../../text/checks";
import type { AttentionItem } from "../../queries/attention";
import type { JobView } from "../../queries/job";
import { t } from "../../text";
import { issueTitle, issueWhere } from "../parts/issue-words";
import { readingTitle, readingWhere } from "../parts/reading-words";
import { placeOf, wordsFor } from "../parts/unit-words";
import { stepName, visitWords } from "./field-words";

type About = Pick<AttentionItem, "entity" | "fields" | "issue_number" | "unit_tag">;

/**
 * What a change is about, as the person knows it: the issue, the step, the reading, the unit. What it
 * would have made is not on the job; then what it would have hung on is named.
 */
export function aboutWords(
  { entity, fields, ...called }: About,
  { view }: { view: JobView | null | undefined },
): string {
  if (!view) return [...kindWords(fields), ...calledWords(called)].join(" · ");
  const photo = view.photos.find((one) => one.id === entity);
  const ids = [entity, fields.issue_id, photo?.issue_id, fields.step_id].map(String);
  const issue = view.issueById.get(ids.find((id) => view.issueById.has(id)) ?? "");
  if (issue) return `${issueTitle(issue)} · ${issueWhere(issue, { view })}`;
  const step = ids.find((id) => view.stepById.has(id));
  if (step) return stepName(step, { view });
  const visit = visitWords(entity, { view });
  if (visit) return visit;
  const readingId = fields.reading_id ?? photo?.reading_id;
  const reading = view.readings.find(({ id }) => id === readingId);
  if (reading) return [readingTitle(reading), readingWhere(reading, { view })].join(" · ");
  const unit = view.unitById.get(String(fields.unit_id ?? photo?.unit_id ?? entity));
  const system = view.systemById.get(String(fields.system_id));
  return [
    ...kindWords(fields),
    ...(unit ? [`${unit.tag} · ${placeOf(unit)}`] : calledWords(called)),
    !unit && system && t("job.system_tag", { tag: system.tag }),
  ]
    .filter(Boolean)
    .join(" · ");
}

/** By the names that were kept with it: the rows themselves are no longer on this phone. */
function calledWords({ issue_number, unit_tag }: Omit<About, "entity" | "fields">): string[] {
  return [
    ...(issue_number ? [t("issue.ref", { number: issue_number })] : []),
    ...(unit_tag ? [unit_tag] : []),
  ];
}

function kindWords({ calculation, category }: AttentionItem["fields"]): string[] {
  return [
    ...(calculation ? [wordsFor("calculation", String(calculation))] : []),
    ...(category ? [wordsFor("category", String(category))] : []),
  ];
}
