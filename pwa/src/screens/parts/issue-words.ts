import { daysFrom, formatDay } from "../../format/time";
import { wallClock } from "../../format/zoned";
import type { IssueRow } from "../../local/rows";
import { byNumber, type JobView } from "../../queries/job";
import { t } from "../../text";
import type { JobPlan } from "../../trade/types";
import { placeOf, wordsFor } from "./unit-words";

/** Longer than this a title no longer reads at a glance; the whole words stand on the issue. */
const TITLE_LENGTH = 64;

export function isOver(issue: IssueRow): boolean {
  return issue.state === "proved" || issue.state === "accepted";
}

/** "Issue 4", or "New issue" until the server has given it a number. */
export function issueRef(issue: IssueRow): string {
  return issue.number === null ? t("issue.new") : t("issue.ref", { number: issue.number });
}

/** "issue 4", or "new issue at B2": several have no number yet after a day with no signal. */
export function issueInWords(issue: IssueRow, { view }: { view: JobView }): string {
  return inWords([issue], { view });
}

function inWords(alike: IssueRow[], { view }: { view: JobView }): string {
  const [first] = alike;
  const unit = first?.unit_id ? view.unitById.get(first.unit_id) : undefined;
  if (!first || first.number !== null || !unit) return first ? issueRef(first).toLowerCase() : "";
  return t("issue.new_at", { count: alike.length, tag: unit.tag });
}

/** "issue 4, issue 7, and 2 new issues at B2", by number. */
export function issuesInWords(issues: IssueRow[], { view }: { view: JobView }): string {
  const inOrder = [...issues].sort((a, b) => (a.number ?? Infinity) - (b.number ?? Infinity));
  const alike = new Map<string | number, IssueRow[]>();
  for (const issue of inOrder) {
    const key = issue.number ?? `at ${issue.unit_id}`;
    alike.set(key, [...(alike.get(key) ?? []), issue]);
  }
  return listWords([...alike.values()].map((some) => inWords(some, { view })));
}

/** What is wrong in a few words: the first line that was written, else the category. */
export function issueTitle(issue: IssueRow): string {
  const line = issue.words.trim().split(/\n|(?<=[.!?])\s/)[0] ?? "";
  if (line === "") return wordsFor("category", issue.category);
  return line.length <= TITLE_LENGTH ? line : `${line.slice(0, TITLE_LENGTH - 1).trimEnd()}…`;
}

/** "Issue 4 · B2 · Floor 2, corridor" */
export function issueWhere(issue: IssueRow, { view }: { view: JobView }): string {
  const unit = issue.unit_id ? view.unitById.get(issue.unit_id) : undefined;
  return [issueRef(issue), unit?.tag, unit && placeOf(unit)].filter(Boolean).join(" · ");
}

/** The day that counts: promised, else wanted by. A day that has gone by is told as gone by. */
function dayWords(
  state: string,
  { issue, zone, now_s }: { issue: IssueRow; zone: string; now_s: number },
): string {
  const on = issue.promised_on ?? issue.due_on;
  if (!on) return state;
  const { date: today } = wallClock(now_s * 1000, { zone });
  const kind = issue.promised_on ? "promised" : "due";
  const key = on < today ? (`issue.was_${kind}_too` as const) : (`issue.${kind}_too` as const);
  return t(key, { state, day: formatDay(on, { zone }) });
}

/** "Open 2 days, promised Wed 2 Dec" */
export function issueStateWords(
  issue: IssueRow,
  { view, now_s = Date.now() / 1000 }: { view: JobView; now_s?: number },
): string {
  const zone = view.job.time_zone;
  if (issue.state === "open" || issue.state === "sent_back") {
    const days = daysFrom(issue.raised_at, { to: now_s, zone });
    return dayWords(t(`issue.state_${issue.state}`, { days }), { issue, zone, now_s });
  }
  return t(`state.${issue.state}`);
}

export function listWords(words: string[]): string {
  return new Intl.ListFormat("en", { type: "conjunction" }).format(words);
}

/** "the refrigerant side and the controls" */
export function sidesWords(issue: Pick<IssueRow, "stops">): string {
  return listWords(issue.stops.map((side) => wordsFor("side_the", side)));
}

/**
 * How many steps an issue keeps shut, itself or through the steps that wait for those. A step that
 * is stopped on one unit and open on its neighbours is not counted, as in the headline.
 */
export function stoppedCount(issueId: string, { plan }: { plan: JobPlan | undefined }): number {
  const shut = plan?.groups.filter((group) => group.state === "gated") ?? [];
  return shut.filter((group) => group.root_issues.includes(issueId)).length;
}

/** Most of the work first, then the oldest. */
export function byWhatTheyStop(plan: JobPlan | undefined) {
  return (a: IssueRow, b: IssueRow) =>
    stoppedCount(b.id, { plan }) - stoppedCount(a.id, { plan }) || byNumber(a, b);
}
