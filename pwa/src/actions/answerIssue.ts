import type { Result } from "../local/result";
import { photoDeeds, type WithPhotos } from "./addPhoto";
import type { IssueAnswerFields } from "./fields";
import { missingTexts } from "./required";
import { write } from "./write";

export type AnswerIssue = WithPhotos & {
  jobId: string;
  issueId: string;
  words: string;
  fixed: boolean;
  /** The day by which it will be fixed; null when it is fixed already. */
  promisedOn: string | null;
  draftKey?: string;
};

/**
 * Say that an issue is fixed, or by which day it will be.
 *
 * With no signal the answer is kept on this phone and shows at once. When the link ends before it is
 * sent, it waits for the next link (sync/gather.ts). The server may later refuse it when the issue is no
 * longer this firm's; the words and the photo then stay here under "Needs your attention".
 */
export async function answerIssue(what: AnswerIssue): Promise<Result> {
  const { issueId, words, fixed, promisedOn } = what;
  const invalid = fixed ? undefined : missingTexts({ promised_on: promisedOn ?? "" });
  if (invalid) {
    return invalid;
  }
  const fields: IssueAnswerFields = { words, fixed, promised_on: promisedOn };
  return await write({
    jobId: what.jobId,
    deeds: [
      { type: "issue.answer", entity: issueId, fields },
      ...photoDeeds(what, { issue_id: issueId }),
    ],
    draftKey: what.draftKey,
  });
}
