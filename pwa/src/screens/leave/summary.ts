import type { State } from "../../components/StateShape";
import { daysFrom } from "../../format/time";
import type { StepRow, VisitRow, VisitSummary } from "../../local/rows";
import type { JobView } from "../../queries/job";
import { t } from "../../text";
import type { JobPlan, PlanGroup } from "../../trade/types";
import { isOver } from "../parts/issue-words";
import { openShape, whyWords } from "../parts/plan-words";
import { verdictWords } from "../parts/reading/ResultCard";
import type { Result } from "../parts/reading/useLive";
import { readingWhere } from "../parts/reading-words";
import { readingsOfSteps } from "../parts/stored-readings";
import { wordsFor } from "../parts/unit-words";

type Of = { view: JobView; plan: JobPlan };
export type Line = { id: string; systemId: string; code: string; name: string; words: string };

function systemTag(systemId: string | null, view: JobView): string {
  return (systemId && view.systemById.get(systemId)?.tag) || "";
}

function nameOf(
  code: string,
  { systemId, view }: { systemId: string | null; view: JobView },
): string {
  const step = wordsFor("step", code);
  if (view.systems.length < 2) return step;
  return t("leave.step_of", { step, system: systemTag(systemId, view) });
}

/** Steps marked on the day of the visit or after it, on the calendar of the site. */
function sinceStart(step: StepRow, { visit, view }: { visit: VisitRow; view: JobView }): boolean {
  const zone = view.job.time_zone;
  return step.done_at !== null && daysFrom(step.done_at, { to: visit.starts_at, zone }) <= 0;
}

function isDone(step: StepRow): boolean {
  return step.state === "done" || step.state === "not_applicable";
}

export function doneToday(
  visit: VisitRow,
  { view }: { view: JobView },
): (Line & { count: number })[] {
  const counts = new Map<string, StepRow[]>();
  for (const step of view.steps) {
    if (!isDone(step) || !sinceStart(step, { visit, view })) continue;
    const key = `${step.system_id}:${step.code}`;
    counts.set(key, [...(counts.get(key) ?? []), step]);
  }
  return [...counts].flatMap(([id, steps]) => {
    const [first] = steps;
    if (!first) return [];
    return {
      id,
      systemId: first.system_id,
      code: first.code,
      name: nameOf(first.code, { systemId: first.system_id, view }),
      words: first.unit_id === null ? "" : t("leave.count", { count: steps.length }),
      count: steps.length,
    };
  });
}

/** The last reading of each step that is still to be done, where it could not be judged. */
function unclearWords(group: PlanGroup, { view }: Of): string[] {
  const steps = view.steps.filter(
    (step) => step.system_id === group.system_id && step.code === group.code && !isDone(step),
  );
  return steps.flatMap((step) => {
    const [last] = readingsOfSteps([step], { view });
    if (last?.verdict !== "unclear") return [];
    const said = verdictWords(last.calculation, last.outputs as Result);
    const verdict = `${said.charAt(0).toLowerCase()}${said.slice(1)}`;
    return t("leave.unclear", { where: readingWhere(last, { view }), verdict });
  });
}

function whyNot(group: PlanGroup, of: Of): string {
  if (group.state === "gated") return whyWords(group.why, of);
  const { done, total, stopped_units: stopped } = group;
  const left = t("leave.left", { left: total - done, total });
  const parts = [group.state === "failed" ? t("leave.failed") : left];
  if (stopped.length > 0) parts.push(t("line.stopped_units", { count: stopped.length }));
  parts.push(whyWords(group.why, of), ...unclearWords(group, of));
  return parts.filter(Boolean).join(" ");
}

/** What this visit was for and what stays open, with the reason in words. */
export function notDone(of: Of): (Line & Pick<PlanGroup, "why" | "state"> & { shape: State })[] {
  return of.plan.groups
    .filter((group) => group.who === "technician" && group.state !== "done")
    .map((group) => ({
      id: group.id,
      systemId: group.system_id,
      code: group.code,
      name: nameOf(group.code, { systemId: group.system_id, view: of.view }),
      words: whyNot(group, of),
      why: group.why,
      state: group.state,
      shape: openShape(group.state),
    }));
}

export function summaryOf(visit: VisitRow, of: Of): VisitSummary {
  return {
    done: doneToday(visit, of).map(({ systemId, code, count }) => ({
      system_id: systemId,
      code,
      count,
    })),
    not_done: notDone(of).map(({ systemId, code, state, why, words }) => ({
      system_id: systemId,
      code,
      state,
      why,
      words,
    })),
    issues_open: of.view.issues.filter((issue) => !isOver(issue)).length,
  };
}
