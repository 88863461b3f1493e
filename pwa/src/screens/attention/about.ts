import "../../text/checks";
import type { AttentionItem } from "../../queries/attention";
import type { JobView } from "../../queries/job";
import { t } from "../../text";
import { issueTitle, issueWhere } from "../parts/issue-words";
import { readingTitle, readingWhere } from "../parts/reading-words";
import { placeOf, wordsFor } from "../parts/unit-words";
import { stepName, visitWords } from "./field-words";
import { subjectOf } from "./subject";

type About = Pick<AttentionItem, "entity" | "fields" | "issue_number" | "unit_tag">;

/** What a change is about, as the person knows it: the issue, the step, the reading, the unit. */
export function aboutWords(
  { entity, fields, ...called }: About,
  { view }: { view: JobView | null | undefined },
): string {
  if (!view) return [...kindWords(fields), ...calledWords(called)].join(" · ");
  const { issue, step, visit, reading, unit } = subjectOf({ entity, fields }, { view });
  if (issue) return `${issueTitle(issue)} · ${issueWhere(issue, { view })}`;
  if (step) return stepName(step.id, { view });
  if (visit) return visitWords(visit.id, { view });
  if (reading) return [readingTitle(reading), readingWhere(reading, { view })].join(" · ");
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
