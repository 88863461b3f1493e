import type { Result } from "../local/result";
import type { IssueSetFields } from "./fields";
import { write } from "./write";

export type SetIssue = {
  jobId: string;
  issueId: string;
  changes: IssueSetFields;
  draftKey?: string;
};

/**
 * Change what an issue says, stops, or who must act.
 *
 * With no signal the change shows at once. When somebody else changed the same field meanwhile, the
 * later arrival counts and the other value stays visible until a person picks.
 */
export async function setIssue(what: SetIssue): Promise<Result> {
  return await write({
    jobId: what.jobId,
    deeds: [{ type: "issue.set", entity: what.issueId, fields: what.changes }],
    draftKey: what.draftKey,
  });
}
