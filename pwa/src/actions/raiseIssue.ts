import type { Result } from "../local/result";
import type { Side, WhoMustAct } from "../local/rows";
import { uuid7 } from "../local/uuid7";
import { photoDeeds, type WithPhotos } from "./addPhoto";
import type { IssueRaiseFields } from "./fields";
import { missingTexts } from "./required";
import { write } from "./write";

export type RaiseIssue = WithPhotos & {
  jobId: string;
  unitId: string;
  category: string;
  words: string;
  action: string;
  evidence: string;
  stops: Side[];
  opensCircuit: boolean;
  whoMustAct: WhoMustAct;
  visitId?: string | null;
  dueOn?: string | null;
  draftKey?: string;
};

/**
 * Log a defect, with a photo or without, against the unit where it stands.
 *
 * With no signal it shows at once in the list and in what is gated; it has no number yet, since the
 * server gives numbers. The server may later refuse it when the job is no longer this person's; it
 * then lies under "Needs your attention", whole.
 */
export async function raiseIssue(what: RaiseIssue): Promise<Result> {
  const invalid = missingTexts({ category: what.category, unit_id: what.unitId });
  if (invalid) {
    return invalid;
  }
  const id = uuid7();
  const fields: IssueRaiseFields = {
    unit_id: what.unitId,
    category: what.category,
    words: what.words,
    action: what.action,
    evidence: what.evidence,
    stops: what.stops,
    opens_circuit: what.opensCircuit,
    who_must_act: what.whoMustAct,
    visit_id: what.visitId ?? null,
    due_on: what.dueOn ?? null,
  };
  return await write({
    jobId: what.jobId,
    deeds: [{ type: "issue.raise", entity: id, fields }, ...photoDeeds(what, { issue_id: id })],
    draftKey: what.draftKey,
  });
}
