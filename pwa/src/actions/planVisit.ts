import type { Result } from "../local/result";
import type { VisitPurpose } from "../local/rows";
import { uuid7 } from "../local/uuid7";
import type { VisitPlanFields } from "./fields";
import { write } from "./write";

export type PlanVisit = {
  jobId: string;
  purpose: VisitPurpose;
  startsAt: string;
  plannedS: number;
  personId: string;
  note?: string | null;
  draftKey?: string;
};

/**
 * Book a visit and give it to a person, who sees the job from then on.
 *
 * With no signal the visit shows at once on this device only; the technician's phone learns of it
 * when both have been online. The server may later refuse a person who left the company.
 */
export async function planVisit(what: PlanVisit): Promise<Result> {
  const fields: VisitPlanFields = {
    purpose: what.purpose,
    starts_at: what.startsAt,
    planned_s: what.plannedS,
    person_id: what.personId,
    note: what.note ?? null,
  };
  return await write({
    jobId: what.jobId,
    deeds: [{ type: "visit.plan", entity: uuid7(), fields }],
    draftKey: what.draftKey,
  });
}
