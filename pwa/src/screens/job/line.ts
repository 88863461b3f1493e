import type { State } from "../../components/StateShape";
import type { LineGroup, LineStep } from "../../components/StepLine";
import type { JobView } from "../../queries/job";
import { t } from "../../text";
import type { JobPlan, PlanGroup } from "../../trade/types";
import { holdOfStep, holdWords } from "../parts/hold-words";
import { issuesInWords } from "../parts/issue-words";
import { whyWords } from "../parts/plan-words";
import { placeOf, wordsFor } from "../parts/unit-words";

type Of = { view: JobView; plan: JobPlan; now_s: number };

const SHAPE: Record<PlanGroup["state"], State> = {
  done: "done",
  doable: "todo",
  partly: "todo",
  gated: "gated",
  failed: "fail",
};

/** The first unit of the round on which the step can be done. */
function nextOnRound(group: PlanGroup, view: JobView): string | null {
  const doable = new Set(group.doable_units);
  const unit = view.units.find((one) => doable.has(one.id));
  return unit ? t("line.next", { tag: unit.tag, place: placeOf(unit) }) : null;
}

function resetWords(group: PlanGroup, view: JobView): string | null {
  const issues = group.reset_by.flatMap((id) => view.issueById.get(id) ?? []);
  if (issues.length === 0 || group.state === "done") return null;
  return t("line.reset", { issues: issuesInWords(issues, { view }) });
}

function whyOf(group: PlanGroup, of: Of): string {
  const hold = holdOfStep(group.code, { view: of.view, systemId: group.system_id });
  const parts = [resetWords(group, of.view), hold ? holdWords(hold, of) : null];
  if (group.state === "gated") parts.push(whyWords(group.why, of));
  if (group.state === "failed") parts.push(t("line.failed"));
  if (group.state !== "gated" && group.state !== "done") parts.push(nextOnRound(group, of.view));
  if (group.stopped_units.length > 0 && group.state !== "gated") {
    parts.push(t("line.stopped_units", { count: group.stopped_units.length }));
  }
  return parts.filter(Boolean).join(" ");
}

function lineStep(group: PlanGroup, of: Of): LineStep {
  const why = whyOf(group, of);
  return {
    id: group.id,
    name: wordsFor("step", group.code),
    state: SHAPE[group.state],
    pipe: group.state === "gated" ? "empty" : "open",
    ...(group.total > 1 ? { count: t("common.of", { done: group.done, total: group.total }) } : {}),
    ...(why ? { why } : {}),
  };
}

/** The steps of one system in the order in which a technician thinks of them. */
export function lineGroups(systemId: string | null, of: Of): LineGroup[] {
  const groups = of.plan.groups.filter(
    (group) => group.system_id === systemId || group.system_id === null,
  );
  const open = groups.filter((group) => group.state !== "done" && group.state !== "gated");
  const steps = (some: PlanGroup[]) => some.map((group) => lineStep(group, of));
  return [
    {
      title: t("line.now"),
      steps: steps(open.filter((group) => group.who === "technician")),
    },
    {
      title: t("line.contractor", { firm: of.view.job.contractor_firm }),
      steps: steps(open.filter((group) => group.who !== "technician")),
    },
    { title: t("line.gated"), steps: steps(groups.filter((group) => group.state === "gated")) },
    { title: t("line.done"), steps: steps(groups.filter((group) => group.state === "done")) },
  ];
}
