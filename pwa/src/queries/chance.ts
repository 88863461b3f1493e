/**
 * How likely a site is ready by a moment: the engine runs the plan many times with drawn hours. It
 * takes the engine some tenths of a second, so it is asked after the plan, and one job at a time:
 * whatever else is asked meanwhile waits for one job at most, never for the whole board.
 */
import { effect, type ReadonlySignal } from "@preact/signals";
import { compute } from "../trade/bridge";
import type { JobChance, JobPlan } from "../trade/types";
import { type JobView, jobKey, startJob } from "./job";
import { keyOf } from "./live";
import { planInput, planKey, startPlan } from "./plan";
import { retain, type Start, useShared } from "./shared";

/**
 * With 500 runs a chance is known within 4.5 percent points, two deviations at worst (H), which is
 * less than half of the tenth it is told in; its day is known as well as a day can be.
 */
const RUNS = 500;
/** The same for every job and phone: the same rows then give the same digits everywhere. */
const SEED = 1;
/** The clock is brought down to the quarter of an hour, so that two phones ask the same. */
const CLOCK_S = 900;

/** A plan with the moment of 8 chances in 10, once that is known. */
export type SurePlan = JobPlan & { ready_at_p80: number | null };

type Asked = {
  /** Seconds since the epoch; null when only the dates are wanted. */
  at: number | null;
};

/** undefined while it is worked out, null when the engine cannot. */
export function useChance(
  jobId: string,
  asked: Asked = { at: null },
): ReadonlySignal<JobChance | null | undefined> {
  return useShared(keyOf(`chance/${jobId}/${asked.at}`), startChance(jobId, asked));
}

/** Drawn hours and a clock brought down can come a little before the best that the plan names. */
export function withChance(plan: JobPlan, chance: JobChance | null | undefined): SurePlan {
  const ready_at_p80 = chance ? Math.max(chance.ready_at_p80, plan.ready_at_best) : null;
  return { ...plan, ready_at_p80 };
}

export function chanceInput(view: JobView, { at, now_ms }: Asked & { now_ms: number }) {
  const now_s = Math.floor(now_ms / 1000 / CLOCK_S) * CLOCK_S;
  const input = planInput(view, now_s * 1000);
  return {
    ...input,
    // Rows lie in another order on another phone, and each takes its own draw.
    steps: byId(input.steps),
    issues: byId(input.issues),
    at: at ?? now_s,
    seed: SEED,
    runs: RUNS,
  };
}

function byId<T extends { id: string }>(rows: T[]): T[] {
  return rows.toSorted((a, b) => (a.id < b.id ? -1 : 1));
}

type Kept = { text: string; chance: JobChance };
/** The last answer of each question; asked again only when a row of the job or the quarter changed. */
const kept = new Map<string, Kept>();
let turn: Promise<unknown> = Promise.resolve();

function inTurn<T>(ask: () => Promise<T>): Promise<T> {
  const asked = turn.then(ask);
  turn = asked.catch(() => undefined);
  return asked;
}

async function worked(key: string, input: object, isWanted: () => boolean) {
  const text = JSON.stringify(input);
  const known = kept.get(key);
  if (known?.text === text) return known.chance;
  return await inTurn(async () => {
    if (!isWanted()) return undefined;
    const answer = await compute<JobChance>("job_chance", input);
    if (answer.ok) {
      kept.set(key, { text, chance: answer.result });
      return answer.result;
    }
    reportError(new Error(`job_chance: ${answer.error.code} ${answer.error.message}`));
    return null;
  });
}

function startChance(jobId: string, { at }: Asked): Start<JobChance | null> {
  return (set) => {
    const job = retain(jobKey(jobId), startJob(jobId));
    const plan = retain(planKey(jobId), startPlan(jobId));
    const key = keyOf(`${jobId}/${at}`);
    let latest = 0;
    const work = async (view: JobView) => {
      latest += 1;
      const mine = latest;
      const isWanted = () => mine === latest;
      const chance = await worked(key, chanceInput(view, { at, now_ms: Date.now() }), isWanted);
      if (isWanted() && chance !== undefined) set(chance);
    };
    // The plan is worked out anew for every change of a row and every few minutes: it leads.
    const stop = effect(() => {
      const view = plan.value.value && job.value.peek();
      if (view) work(view).catch(reportError);
    });
    return () => {
      latest = -1;
      stop();
      plan.release();
      job.release();
    };
  };
}
