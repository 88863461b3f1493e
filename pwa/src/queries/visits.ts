/** Which visits of a job are still to be made. */
import type { VisitRow } from "../local/rows";

/** Neither closed nor called off: it is booked, or on. */
export function isStanding({ state }: Pick<VisitRow, "state">): boolean {
  return state !== "closed" && state !== "cancelled";
}

export function byStart(a: VisitRow, b: VisitRow): number {
  return a.starts_at.localeCompare(b.starts_at);
}
