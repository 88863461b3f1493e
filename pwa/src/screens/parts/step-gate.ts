import type { StepRow, StepState } from "../../local/rows";
import type { JobView } from "../../queries/job";
import { t } from "../../text";
import type { JobPlan, PlanGroup } from "../../trade/types";

type Of = { view: JobView; plan: JobPlan };

/** Stopped whole, or on the unit of this step. What is marked already is no longer held up. */
export function isGated(step: StepRow, { group }: { group: PlanGroup }): boolean {
  if (step.state !== "todo") return false;
  return group.state === "gated" || group.stopped_units.includes(step.unit_id ?? "");
}

/** A gate advises and does not lock: a person on site may know better, and then says why. */
export function asksWhy(step: StepRow, { group, state }: { group: PlanGroup; state: StepState }) {
  if (state === "todo") return false;
  return state === "not_applicable" || isGated(step, { group });
}

/** A circuit that is to be opened, or whose hold is not proved, may be under pressure. */
export function gateCautions(group: PlanGroup, { view, plan }: Of): string[] {
  const issues = [...group.root_issues, ...group.reset_by];
  const isOpened = issues.some((id) => view.issueById.get(id)?.opens_circuit);
  const waitsForHold = group.why.some(
    (why) =>
      why.kind === "step" &&
      plan.groups.some((one) => one.id === why.id && one.code === "pressure_hold"),
  );
  return isOpened || waitsForHold ? [t("caution.pressure")] : [];
}
