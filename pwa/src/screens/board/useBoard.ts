import { useMemo, useState } from "preact/hooks";
import { hereZone } from "../../format/here";
import { wallClock } from "../../format/zoned";
import type { JobCard } from "../../queries/jobs";
import { workingDays } from "./calendar";
import { byUrgency, type Facts } from "./facts";
import { isFound } from "./search";
import { countByStanding, type Standing } from "./standing";

/** What is looked for, and what of each job is known so far; rows report it as their plan arrives. */
export function useBoard(jobs: readonly JobCard[], { now }: { now: number }) {
  const [facts, setFacts] = useState<ReadonlyMap<string, Facts>>(new Map());
  const [filter, setFilter] = useState<Standing | null>(null);
  const [query, setQuery] = useState("");
  const onFacts = useMemo(
    () => (jobId: string, seen: Facts) => setFacts((known) => new Map(known).set(jobId, seen)),
    [],
  );
  const isShown = (job: JobCard) => {
    const seen = facts.get(job.id);
    const text = seen?.text ?? job.name.toLowerCase();
    return (filter === null || seen?.standing === filter) && isFound(text, { query });
  };
  const { date: today } = wallClock(now * 1000, { zone: hereZone() });
  return {
    query,
    onQuery: setQuery,
    filter,
    onFilter: setFilter,
    counts: countByStanding([...facts.values()].map((one) => one.standing)),
    days: workingDays(today, { shiftDays: new Set(jobs.flatMap((job) => job.shift_days)) }),
    sorted: jobs.toSorted((a, b) => byUrgency(facts.get(a.id), facts.get(b.id))),
    isShown,
    onFacts,
  };
}
