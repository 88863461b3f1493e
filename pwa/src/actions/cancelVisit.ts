import type { Result } from "../local/result";
import type { VisitCancelFields } from "./fields";
import { write } from "./write";

export type CancelVisit = { jobId: string; visitId: string; note?: string | null };

/**
 * Call a planned visit off. It stays on the job and says so; its technician sees the job no more,
 * unless they have another visit there.
 *
 * With no signal it shows at once on this device only. The server may later refuse it when the visit
 * is over; and whoever closes it without knowing was there all the same.
 */
export async function cancelVisit(what: CancelVisit): Promise<Result> {
  const fields: VisitCancelFields = { note: what.note?.trim() || null };
  return await write({
    jobId: what.jobId,
    deeds: [{ type: "visit.cancel", entity: what.visitId, fields }],
  });
}
