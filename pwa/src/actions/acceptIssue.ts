import type { Result } from "../local/result";
import type { IssueAcceptFields } from "./fields";
import { missingTexts } from "./required";
import { write } from "./write";

export type AcceptIssue = {
  jobId: string;
  issueId: string;
  /** Who takes it as it is. */
  name: string;
  reason: string;
  draftKey?: string;
};

/**
 * Take an issue as it is, with a name and a reason that stay in the record.
 *
 * With no signal it shows as accepted at once and stops nothing any more. The server may later
 * refuse it when the issue was closed otherwise meanwhile.
 */
export async function acceptIssue(what: AcceptIssue): Promise<Result> {
  const fields: IssueAcceptFields = { name: what.name, reason: what.reason };
  const invalid = missingTexts(fields);
  if (invalid) {
    return invalid;
  }
  return await write({
    jobId: what.jobId,
    deeds: [{ type: "issue.accept", entity: what.issueId, fields }],
    draftKey: what.draftKey,
  });
}
