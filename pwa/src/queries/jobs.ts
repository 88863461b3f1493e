/** The jobs on this phone, each with the few numbers that a list shows. */
import type { ReadonlySignal } from "@preact/signals";
import type { Merged } from "../local/merge";
import type { JobRow, VisitRow } from "../local/rows";
import type { Store } from "../local/store";
import { useLive } from "./live";
import { readMerged } from "./rows";
import { byStart, isStanding } from "./visits";

export type JobCard = JobRow & {
  issues_open: number;
  issues_answered: number;
  steps_done: number;
  steps_total: number;
  units_total: number;
  /** The visit that is neither closed nor called off and starts soonest; null when none is planned. */
  next_visit: VisitRow | null;
  visits: VisitRow[];
  /** How many things of this job wait on this phone. */
  waiting: number;
};

export function useJobs(): ReadonlySignal<JobCard[] | undefined> {
  return useLive("jobs", readJobs);
}

export async function readJobs(store: Store): Promise<JobCard[]> {
  const tables = [store.rows, store.overlay, store.cursors, store.outbox];
  return await store.transaction("r", tables, async () => {
    const waiting = await countByJob(store);
    const cards: JobCard[] = [];
    for (const job_id of await jobIds(store)) {
      const card = cardOf(await readMerged(store, job_id), waiting.get(job_id) ?? 0);
      if (card) {
        cards.push(card);
      }
    }
    return cards.toSorted(bySoonest);
  });
}

async function jobIds(store: Store): Promise<Set<string>> {
  const cursors = await store.cursors.toCollection().primaryKeys();
  const overlay = await store.overlay.orderBy("job_id").uniqueKeys();
  return new Set([...cursors, ...overlay.map(String)]);
}

async function countByJob(store: Store): Promise<Map<string, number>> {
  const counts = new Map<string, number>();
  for (const key of await store.outbox.orderBy("[job_id+seq]").keys()) {
    const job_id = String((key as unknown as [string, number])[0]);
    counts.set(job_id, (counts.get(job_id) ?? 0) + 1);
  }
  return counts;
}

function cardOf(rows: Merged, waiting: number): JobCard | null {
  const job = rows.job[0];
  if (!job) {
    return null;
  }
  const steps = rows.step.filter((step) => step.state !== "not_applicable");
  return {
    ...job,
    issues_open: rows.issue.filter(({ state }) => state === "open" || state === "sent_back").length,
    issues_answered: rows.issue.filter(({ state }) => state === "answered").length,
    steps_done: steps.filter((step) => step.state === "done").length,
    steps_total: steps.length,
    units_total: rows.unit.length,
    next_visit: rows.visit.filter(isStanding).toSorted(byStart)[0] ?? null,
    visits: rows.visit,
    waiting,
  };
}

/** Jobs with a visit ahead first, soonest first; then the newest. */
function bySoonest(a: JobCard, b: JobCard): number {
  const [first, second] = [a.next_visit?.starts_at, b.next_visit?.starts_at];
  if (first && second) {
    return first.localeCompare(second);
  }
  return Number(!first) - Number(!second) || b.created_at.localeCompare(a.created_at);
}
