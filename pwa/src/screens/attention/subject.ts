/** The row of the job that a change is about, and where it is seen. */
import type { IssueRow, ReadingRow, StepRow, UnitRow, VisitRow } from "../../local/rows";
import { session } from "../../local/session";
import type { AttentionItem } from "../../queries/attention";
import type { JobView } from "../../queries/job";
import type { Known } from "./field-words";
import { placeOfRow } from "./two-values";

type Item = Pick<AttentionItem, "entity" | "fields">;
/** One of these, or none. */
export type Subject = {
  issue?: IssueRow | undefined;
  step?: StepRow | undefined;
  visit?: VisitRow | undefined;
  reading?: ReadingRow | undefined;
  unit?: UnitRow | undefined;
};

/** What it would have made is not on the job; then it is what that would have hung on. */
export function subjectOf({ entity, fields }: Item, { view }: { view: JobView }): Subject {
  const photo = view.photos.find((one) => one.id === entity);
  const ids = [entity, fields.issue_id, photo?.issue_id, fields.step_id].map(String);
  const first = <T>(rows: Map<string, T>) => rows.get(ids.find((id) => rows.has(id)) ?? "");
  const issue = first(view.issueById);
  if (issue) return { issue };
  const step = first(view.stepById);
  if (step) return { step };
  const visit = view.visitById.get(entity);
  if (visit) return { visit };
  const readingId = fields.reading_id ?? photo?.reading_id;
  const reading = view.readings.find(({ id }) => id === readingId);
  if (reading) return { reading };
  return { unit: view.unitById.get(String(fields.unit_id ?? photo?.unit_id ?? entity)) };
}

/** Where it can be opened on this phone; null where it is not here. A contractor has a list of issues only. */
export function placeOfItem(item: Item, { view }: Known): string | null {
  if (!view) return null;
  const { issue, step, visit, reading, unit } = subjectOf(item, { view });
  if (session.value?.as === "link") return issue ? `/answer/issue/${issue.id}` : null;
  const job = `/job/${view.job.id}`;
  if (reading) return `${job}/reading/${reading.id}`;
  if (visit) return session.value?.role === "dispatcher" ? `${job}/office` : job;
  if (issue) return placeOfRow({ table: "issue", id: issue.id }, { view });
  if (step) return placeOfRow({ table: "step", id: step.id }, { view });
  return unit ? placeOfRow({ table: "unit", id: unit.id }, { view }) : null;
}
