import type { VisitRow } from "../../local/rows";
import { byStart, isStanding } from "../../queries/visits";
import type { JobPlan } from "../../trade/types";

/** Where a job stands for the person who books visits; exactly one at a time. */
export type Standing = "wait_contractor" | "to_book" | "booked" | "begun" | "nothing_left";

/** The filters of the board, in the order in which a dispatcher works through them. */
export const FILTERS = ["wait_contractor", "to_book", "booked", "begun"] as const;

/** The visit that is on, or else the next one that is booked. */
export function openVisit(visits: readonly VisitRow[]): VisitRow | undefined {
  return visits.filter(isStanding).sort(byStart)[0];
}

/** The next visit that has not begun: where one is booked, none is proposed. */
export function comingVisit(
  visits: readonly VisitRow[],
  { nowMs }: { nowMs: number },
): VisitRow | undefined {
  return openVisit(
    visits.filter((visit) => visit.state === "planned" && Date.parse(visit.starts_at) > nowMs),
  );
}

/**
 * A visit whose hour has come counts as begun until it is closed, even days later. Told by its hour
 * alone: nobody reports that they have arrived.
 */
export function standingOf(
  plan: JobPlan | undefined,
  { visits, nowMs }: { visits: readonly VisitRow[]; nowMs: number },
): Standing {
  const visit = openVisit(visits);
  if (visit) {
    return Date.parse(visit.starts_at) <= nowMs ? "begun" : "booked";
  }
  return plan?.state ?? "to_book";
}

/** Booking is the next thing to do once everything the job waits for has a promise that still holds. */
export function isBookable(
  plan: JobPlan | undefined,
  { standing }: { standing: Standing },
): boolean {
  if (!plan || plan.visit_start_at === null) return false;
  if (standing === "to_book") return true;
  return (
    standing === "wait_contractor" &&
    plan.waits_for.every((wait) => wait.promised_at !== null && !wait.overdue)
  );
}

export function countByStanding(standings: Iterable<Standing>): Record<Standing, number> {
  const counts = { wait_contractor: 0, to_book: 0, booked: 0, begun: 0, nothing_left: 0 };
  for (const standing of standings) counts[standing] += 1;
  return counts;
}
