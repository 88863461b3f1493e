import type { Result } from "../local/result";
import { photoDeeds, type WithPhotos } from "./addPhoto";
import { missingTexts } from "./required";
import { write } from "./write";

export type SendBackIssue = WithPhotos & {
  jobId: string;
  issueId: string;
  /** What is still wrong; without it the contractor would not know. */
  words: string;
  draftKey?: string;
};

/**
 * Say, after looking again, that a fix is not good.
 *
 * With no signal the issue shows as sent back at once and stops what it stopped before. The server
 * may later refuse it when the issue was never answered.
 */
export async function sendBackIssue(what: SendBackIssue): Promise<Result> {
  const { words } = what;
  const invalid = missingTexts({ words });
  if (invalid) {
    return invalid;
  }
  return await write({
    jobId: what.jobId,
    deeds: [
      { type: "issue.send_back", entity: what.issueId, fields: { words } },
      ...photoDeeds(what, { issue_id: what.issueId }),
    ],
    draftKey: what.draftKey,
  });
}
