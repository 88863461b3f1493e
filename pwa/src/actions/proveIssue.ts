import type { Result } from "../local/result";
import { photoDeeds, type WithPhotos } from "./addPhoto";
import { write } from "./write";

export type ProveIssue = WithPhotos & {
  jobId: string;
  issueId: string;
  words: string;
  draftKey?: string;
};

/**
 * Say, after looking again, that a fix is good.
 *
 * With no signal the issue shows as proved at once. The server refuses it when the one who proves
 * is the one who answered, or when the issue was not answered; it then shows as before and lies
 * under "Needs your attention".
 */
export async function proveIssue(what: ProveIssue): Promise<Result> {
  return await write({
    jobId: what.jobId,
    deeds: [
      { type: "issue.prove", entity: what.issueId, fields: { words: what.words } },
      ...photoDeeds(what, { issue_id: what.issueId }),
    ],
    draftKey: what.draftKey,
  });
}
