/**
 * In which order things were made: as the server took them, and what it has not taken yet after all of
 * that, as it was written here. Never by the times they bear, which are those of several clocks.
 */
import type { IssueEventRow, PhotoRow, ReadingRow } from "../local/rows";

type Made = Pick<IssueEventRow | PhotoRow | ReadingRow, "made_rev" | "rev" | "pending">;

/** With a receipt and not yet pulled, a row has no other revision than that of its making. */
function madeAt({ made_rev, rev, pending }: Made): number {
  return made_rev ?? (pending ? Number.MAX_SAFE_INTEGER : rev);
}

/** The oldest first. What is unsent comes in the order of the rows, which is that of the outbox. */
export function inOrderMade<T extends Made>(rows: readonly T[]): T[] {
  return rows.toSorted((a, b) => madeAt(a) - madeAt(b));
}

export function lastMadeFirst<T extends Made>(rows: readonly T[]): T[] {
  return inOrderMade(rows).reverse();
}
