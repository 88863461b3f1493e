import type { IssueRow } from "../../local/rows";
import type { JobView } from "../../queries/job";
import type { JobPlan, PlanGroup } from "../../trade/types";

/** The contractor's list: what to do first, what waits to be proved, what is over. */
export interface AnswerList {
  open: IssueRow[];
  answered: IssueRow[];
  closed: IssueRow[];
}

const HAS_NO_NUMBER_YET = Number.MAX_SAFE_INTEGER;

function byUrgency(stopping: ReadonlySet<string>) {
  const rank = (issue: IssueRow) =>
    (issue.state === "sent_back" ? 0 : 1) + (stopping.has(issue.id) ? 0 : 2);
  return (a: IssueRow, b: IssueRow) =>
    rank(a) - rank(b) || (a.number ?? HAS_NO_NUMBER_YET) - (b.number ?? HAS_NO_NUMBER_YET);
}

/** Issues on the way to the test run come first, and of those the ones that were sent back. */
export function answerList(view: JobView, { plan }: { plan: JobPlan | undefined }): AnswerList {
  const own = view.issues.filter((issue) => issue.who_must_act === "contractor");
  const inState = (...states: IssueRow["state"][]) =>
    own.filter((issue) => states.includes(issue.state)).sort(byUrgency(gatesTestRun(plan)));
  return {
    open: inState("open", "sent_back"),
    answered: inState("answered"),
    closed: inState("proved", "accepted"),
  };
}

/** Ids of the issues that stand, directly or through other steps, before a test run. */
export function gatesTestRun(plan: JobPlan | undefined): Set<string> {
  const testRuns = plan?.groups.filter((group) => group.code === "test_run") ?? [];
  return new Set(testRuns.flatMap((group) => group.root_issues));
}

/** The contractor's own steps that are not done, in the order of the sequence. */
export function ownSteps(plan: JobPlan | undefined): PlanGroup[] {
  return (plan?.groups ?? []).filter(
    (group) => group.who === "contractor" && group.state !== "done",
  );
}
