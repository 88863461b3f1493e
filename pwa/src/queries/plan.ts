/** The return plan of a job, worked out on this phone by the engine from the rows as they are. */
import { effect, type ReadonlySignal } from "@preact/signals";
import { compute } from "../trade/bridge";
import type { JobPlan } from "../trade/types";
import { type JobView, jobKey, startJob } from "./job";
import { keyOf } from "./live";
import { retain, type Start, useShared } from "./shared";
import { zoneAhead } from "./zone";

export type { JobPlan } from "../trade/types";
/** One bar of the plan: a step, a repair, a proof or the visit. */
export type PlannedWork = JobPlan["schedule"][number];

/** A plan looks at the clock: what was ahead may be past. */
const AGAIN_MS = 300_000;
/** Who works at once; until a job says otherwise one of each (P). */
const CREW = { technician: 1, contractor: 1 };

export function usePlan(jobId: string): ReadonlySignal<JobPlan | undefined> {
  return useShared(planKey(jobId), startPlan(jobId));
}

export function planKey(jobId: string): string {
  return keyOf(`plan/${jobId}`);
}

export function startPlan(jobId: string): Start<JobPlan> {
  return (set) => {
    const { value: job, release } = retain(jobKey(jobId), startJob(jobId));
    let latest = 0;
    const work = async (view: JobView) => {
      latest += 1;
      const mine = latest;
      const answer = await compute<JobPlan>("job_plan", planInput(view, Date.now()));
      // An older answer that arrives late must not replace a newer one.
      if (mine === latest && answer.ok) {
        set(answer.result);
      } else if (!answer.ok) {
        reportError(new Error(`job_plan: ${answer.error.code} ${answer.error.message}`));
      }
    };
    const again = () => {
      if (job.value) {
        work(job.value).catch(reportError);
      }
    };
    const stop = effect(again);
    const timer = setInterval(again, AGAIN_MS);
    // Timers stand still with a page that sleeps.
    const wake = () => {
      if (document.visibilityState === "visible") again();
    };
    document.addEventListener("visibilitychange", wake);
    return () => {
      stop();
      clearInterval(timer);
      document.removeEventListener("visibilitychange", wake);
      release();
    };
  };
}

export function planInput(view: JobView, now_ms: number) {
  const now = Math.floor(now_ms / 1000);
  const { time_zone, shift_start, shift_end, shift_days } = view.job;
  return {
    now,
    zone: zoneAhead(time_zone, now),
    job: { shift_start, shift_end, shift_days },
    crew: CREW,
    systems: view.systems,
    units: view.units,
    steps: view.steps,
    issues: view.issues,
  };
}
