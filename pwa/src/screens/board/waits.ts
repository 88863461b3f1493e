import { daysBetween } from "../../format/zoned";
import type { IssueRow, VisitRow } from "../../local/rows";
import type { JobView } from "../../queries/job";
import type { JobPlan, PlanGroup } from "../../trade/types";
import type { Standing } from "./standing";
import { openVisit } from "./standing";

/** What a job waits for, worst first: the one thing to name, and how many more there are. */
export type Waits =
  | { kind: "visit"; visit: VisitRow; isOn: boolean }
  | { kind: "issue"; issue: IssueRow; daysLate: number | null; more: number }
  | { kind: "step"; group: PlanGroup; more: number }
  | { kind: "nothing" }
  | { kind: "nothing_left" };

/** Null when the promise has not passed, or when there is none. */
export function daysLate(issue: IssueRow, { today }: { today: string }): number | null {
  const isWaiting = issue.state === "open" || issue.state === "sent_back";
  if (!isWaiting || !issue.promised_on || issue.promised_on >= today) return null;
  return daysBetween(issue.promised_on, today);
}

function firstWait(plan: JobPlan, { view, today }: { view: JobView; today: string }): Waits {
  const more = Math.max(plan.waits_for.length - 1, 0);
  const first = plan.waits_for[0];
  const issue = first?.issue_id ? view.issueById.get(first.issue_id) : undefined;
  if (issue) return { kind: "issue", issue, daysLate: daysLate(issue, { today }), more };
  const group = plan.groups.find((one) => one.id === first?.group_id);
  return group ? { kind: "step", group, more } : { kind: "nothing" };
}

/** A visit that is on comes first; an open promise is still named when a visit is booked. */
export function waitsOf(
  plan: JobPlan | undefined,
  { view, standing, today }: { view: JobView; standing: Standing; today: string },
): Waits | undefined {
  const visit = openVisit(view.visits);
  if (standing === "begun" && visit) return { kind: "visit", visit, isOn: true };
  if (!plan) return undefined;
  if (plan.state === "nothing_left" && !visit) return { kind: "nothing_left" };
  const wait = firstWait(plan, { view, today });
  if (wait.kind === "nothing" && visit) return { kind: "visit", visit, isOn: false };
  return wait;
}

/** The shape that stands before the words; the words say the same. A visit has a box of its own. */
export function shapeOf(
  waits: Exclude<Waits, { kind: "visit" }>,
): "fail" | "open" | "answered" | "sent_back" | "gated" | "pass" {
  if (waits.kind === "issue") {
    if (waits.daysLate !== null) return "fail";
    if (waits.issue.state === "answered") return "answered";
    return waits.issue.state === "sent_back" ? "sent_back" : "open";
  }
  return waits.kind === "step" ? "gated" : "pass";
}
