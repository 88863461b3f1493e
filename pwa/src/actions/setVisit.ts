import type { Result } from "../local/result";
import type { VisitSetFields } from "./fields";
import { write } from "./write";

export type SetVisit = {
  jobId: string;
  visitId: string;
  changes: VisitSetFields;
  draftKey?: string;
};

/**
 * Move a planned visit, or give it to another technician: they see the job from then on, and whoever
 * has no visit there any more does not.
 *
 * With no signal it shows at once on this device only. When somebody else changed the same field
 * meanwhile, the later arrival counts and the other value stays visible until a person picks. The
 * server may later refuse it when the visit is over, or when the person chosen has left the company.
 */
export async function setVisit(what: SetVisit): Promise<Result> {
  return await write({
    jobId: what.jobId,
    deeds: [{ type: "visit.set", entity: what.visitId, fields: what.changes }],
    draftKey: what.draftKey,
  });
}
