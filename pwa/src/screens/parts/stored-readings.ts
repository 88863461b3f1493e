/** The readings of a job as its lists show them, and the way to each. */
import type { ReadingRow, StepRow } from "../../local/rows";
import type { JobView } from "../../queries/job";
import { lastMadeFirst } from "../../queries/made";

/** Which screen a reading was opened from: the way back leads there. */
export type ReadingFrom = "unit" | "job" | "office" | "readings";

export function readingPath({ job_id, id }: ReadingRow, { from }: { from: ReadingFrom }): string {
  return `/job/${job_id}/reading/${id}?from=${from}`;
}

/** A later reading took their place; each look at a hold replaces the one before. */
export function replacedIds(readings: readonly ReadingRow[]): Set<string> {
  return new Set(readings.flatMap(({ replaces_id }) => (replaces_id ? [replaces_id] : [])));
}

export type Sorted = { differing: ReadingRow[]; current: ReadingRow[]; replaced: ReadingRow[] };

/** Those that the server works out otherwise first; what was replaced counts no more. */
export function sortedReadings(readings: readonly ReadingRow[]): Sorted {
  const replaced = replacedIds(readings);
  const counts = lastMadeFirst(readings.filter((one) => !replaced.has(one.id)));
  return {
    differing: counts.filter((one) => one.differs),
    current: counts.filter((one) => !one.differs),
    replaced: lastMadeFirst(readings.filter((one) => replaced.has(one.id))),
  };
}

/** What was recorded for these steps, the newest first. */
export function readingsOfSteps(
  steps: readonly StepRow[],
  { view }: { view: JobView },
): ReadingRow[] {
  const ids = new Set(
    steps.flatMap(({ id, reading_id }) => (reading_id ? [id, reading_id] : [id])),
  );
  const replaced = replacedIds(view.readings);
  return lastMadeFirst(
    view.readings.filter(
      ({ id, step_id }) =>
        !replaced.has(id) && (ids.has(id) || (step_id !== null && ids.has(step_id))),
    ),
  );
}
