import type { IssueEventRow } from "../../local/rows";
import { inOrderMade } from "../../queries/made";

/**
 * Told by id: two people can bear one name, and a name can change. Only what came since the issue
 * was last sent back counts. The server judges again, with answers this phone has not got yet.
 */
export function isFixer(
  events: readonly IssueEventRow[],
  { personId }: { personId: string | undefined },
): boolean {
  const inOrder = inOrderMade(events);
  const from = inOrder.findLastIndex((event) => event.kind === "sent_back");
  return inOrder
    .slice(from + 1)
    .some(
      (event) =>
        event.kind === "answered" && personId !== undefined && event.by_person_id === personId,
    );
}
