import type { State } from "../../components/StateShape";
import type { IssueRow, StepRow, UnitRow } from "../../local/rows";
import type { JobView } from "../../queries/job";
import { isOver } from "../parts/issue-words";

export type UnitState = { shape: State; done: number; total: number; issues: IssueRow[] };

function shapeOf(issues: IssueRow[], steps: StepRow[]): State {
  if (issues.some((issue) => issue.state !== "answered" && issue.stops.length > 0)) return "gated";
  if (issues.some((issue) => issue.state === "sent_back")) return "sent_back";
  if (issues.some((issue) => issue.state === "answered")) return "answered";
  if (steps.some((step) => step.state === "failed")) return "fail";
  const open = steps.some((step) => step.state === "todo");
  return open || issues.length > 0 || steps.length === 0 ? "todo" : "done";
}

/** How a unit stands: what stops it comes before what is left to do on it. */
export function unitState(unit: UnitRow, { view }: { view: JobView }): UnitState {
  const issues = (view.issuesByUnit.get(unit.id) ?? []).filter((issue) => !isOver(issue));
  const steps = view.stepsByUnit.get(unit.id) ?? [];
  const done = steps.filter((step) => step.state !== "todo" && step.state !== "failed").length;
  return { shape: shapeOf(issues, steps), done, total: steps.length, issues };
}
