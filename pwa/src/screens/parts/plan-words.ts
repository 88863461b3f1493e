import type { State } from "../../components/StateShape";
import { formatDuration } from "../../format/time";
import type { IssueRow } from "../../local/rows";
import type { JobView } from "../../queries/job";
import { t } from "../../text";
import type { JobPlan, PlanGroup } from "../../trade/types";
import {
  issueInWords,
  issueRef,
  issuesInWords,
  issueTitle,
  issueWhere,
  listWords,
  sidesWords,
} from "./issue-words";
import { wordsFor } from "./unit-words";

type Of = { view: JobView; plan: JobPlan };

function stoppedWords(issues: IssueRow[], { view }: { view: JobView }): string {
  const who = [
    ...new Set(issues.map((issue) => wordsFor("who", issue.who_must_act).toLowerCase())),
  ];
  return t("why.stopped", {
    issues: issuesInWords(issues, { view }),
    who: listWords(who),
  });
}

/** The shape of a group of steps that is not done: shut, failed or just left. */
export function openShape(state: PlanGroup["state"]): State {
  if (state === "failed") return "fail";
  return state === "gated" ? "gated" : "todo";
}

/** Why a step waits: issues first, because they need a person; then the steps before it. */
export function whyWords(why: PlanGroup["why"], { view, plan }: Of): string {
  const issues = why.flatMap((one) => {
    const issue = one.kind === "issue" ? view.issueById.get(one.id) : undefined;
    return issue ? [issue] : [];
  });
  const steps = why.flatMap((one) => {
    const group =
      one.kind === "step" ? plan.groups.find((other) => other.id === one.id) : undefined;
    return group ? [wordsFor("step", group.code).toLowerCase()] : [];
  });
  const parts = [];
  const answered = issues.filter((issue) => issue.state === "answered");
  const open = issues.filter((issue) => issue.state !== "answered");
  if (answered.length > 0)
    parts.push(t("why.prove", { issues: issuesInWords(answered, { view }) }));
  if (open.length > 0) parts.push(stoppedWords(open, { view }));
  if (steps.length > 0) parts.push(t("why.waits", { steps: listWords(steps) }));
  return parts.join(" ");
}

/** What can still be done, in one sentence. */
export function doableWords(plan: JobPlan): string {
  const { doable_count: count, doable_s } = plan.headline;
  if (count === 0) return t("headline.nothing_doable");
  return t("headline.doable", { count, hours: formatDuration(doable_s) });
}

function stopsWords(issue: IssueRow, { plan }: { plan: JobPlan }): string {
  const ref = issueRef(issue);
  if (issue.state === "answered") return t("headline.to_prove", { issue: ref });
  if (issue.stops.length > 0) return t("headline.stops", { issue: ref, sides: sidesWords(issue) });
  return t("headline.stops_steps", { issue: ref, count: plan.headline.stopped_count });
}

/** "9 steps can be done, 2 gated by issue 4", and why. */
export function headlineWords({ view, plan }: Of): { head: string; body: string | null } {
  const issue = plan.headline.issue_id ? view.issueById.get(plan.headline.issue_id) : undefined;
  if (!issue) return { head: `${t("headline.nothing_stops")} ${doableWords(plan)}`, body: null };
  const stops = stopsWords(issue, { plan });
  const resets =
    issue.opens_circuit && issue.state !== "answered" ? ` ${t("headline.resets")}` : "";
  const where = issueWhere(issue, { view }).split(" · ").slice(1).join(" · ");
  return {
    head: `${stops} ${doableWords(plan)}`,
    body: `${where ? `${issueTitle(issue).replace(/[.]$/, "")}, ${where}.` : issueTitle(issue)}${resets}`,
  };
}

/** The name of a piece of work of the schedule. */
export function workName(id: string, { view, plan }: Of): string {
  const work = plan.schedule.find((one) => one.id === id);
  const group = plan.groups.find((one) => one.id === work?.group_id);
  if (group) return wordsFor("step", group.code);
  const issue = work?.issue_id ? view.issueById.get(work.issue_id) : undefined;
  return issue ? t("plan.repair", { issue: issueInWords(issue, { view }) }) : t("plan.other_work");
}
