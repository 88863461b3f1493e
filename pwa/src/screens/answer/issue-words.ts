import { daysFrom, formatDay } from "../../format";
import type { IssueRow } from "../../local/rows";
import type { JobView } from "../../queries/job";
import { t } from "../../text";
import { listWords } from "../parts/issue-words";
import { placeOf, wordsFor } from "../parts/unit-words";

type At = { zone: string; now: number };

/** "B2 · Floor 2, corridor" */
export function placeWords(issue: IssueRow, { view }: { view: JobView }): string {
  const unit = issue.unit_id ? view.unitById.get(issue.unit_id) : undefined;
  const system = issue.system_id ? view.systemById.get(issue.system_id) : undefined;
  const parts = [unit?.tag ?? system?.tag, unit && placeOf(unit)].filter(Boolean);
  return parts.join(" · ");
}

/** "4 · B2 · Floor 2, corridor" */
export function whereWords(issue: IssueRow, { view }: { view: JobView }): string {
  const place = placeWords(issue, { view });
  return issue.number === null
    ? t("answer.place_new", { place })
    : t("answer.place", { number: issue.number, place });
}

export function evidenceWords({ evidence }: IssueRow): string | undefined {
  return evidence ? t("answer.evidence", { evidence }) : undefined;
}

/** "Stops the refrigerant side and the test run" */
export function stopsWords(issue: IssueRow): string | undefined {
  if (issue.stops.length === 0) return undefined;
  return t("answer.stops_side", {
    sides: listWords(issue.stops.map((side) => wordsFor("side_the", side))),
  });
}

function promiseWords(promisedOn: string, { zone, now }: At): string {
  const day = formatDay(promisedOn, { zone });
  const late = daysFrom(promisedOn, { to: now, zone });
  return late > 0 ? t("answer.promise_passed", { day, days: late }) : t("answer.promised", { day });
}

/** What stands beside the state's shape on the contractor's list. */
export function stateWords(
  issue: IssueRow,
  { zone, now, sentBack }: At & { sentBack?: string },
): string {
  if (issue.state === "answered" && issue.answered_at) {
    return t("answer.answered", { day: formatDay(issue.answered_at, { zone }) });
  }
  if (issue.state === "proved")
    return t("answer.state.proved", { name: issue.proved_by_name ?? "" });
  if (issue.state === "accepted") {
    return t("answer.state.accepted", { name: issue.accepted_by_name ?? "" });
  }
  if (issue.state === "sent_back" && sentBack) return t("answer.sent_back", { words: sentBack });
  if (issue.promised_on) return promiseWords(issue.promised_on, { zone, now });
  if (issue.due_on) return t("answer.due", { day: formatDay(issue.due_on, { zone }) });
  return t("answer.open_days", { days: daysFrom(issue.raised_at, { to: now, zone }) });
}

/** Why it was sent back the last time, in the words of whoever did. */
export function sentBackWords(issue: IssueRow, { view }: { view: JobView }): string | undefined {
  const events = view.eventsByIssue.get(issue.id) ?? [];
  const last = events.filter((event) => event.kind === "sent_back").at(-1);
  return last?.words ?? undefined;
}
