import type { Result } from "../local/result";
import type { VisitSummary } from "../local/rows";
import type { VisitCloseFields } from "./fields";
import { write } from "./write";

export type CloseVisit = {
  jobId: string;
  visitId: string;
  summary: VisitSummary;
  note?: string | null;
  draftKey?: string;
};

/**
 * Close a visit with what was done, what was not, and why.
 *
 * With no signal the visit shows as closed at once; what was done before goes out before it, in
 * order. The server may later refuse it when the visit is another person's or already closed.
 */
export async function closeVisit(what: CloseVisit): Promise<Result> {
  const fields: VisitCloseFields = { summary: what.summary, note: what.note ?? null };
  return await write({
    jobId: what.jobId,
    deeds: [{ type: "visit.close", entity: what.visitId, fields }],
    draftKey: what.draftKey,
  });
}
