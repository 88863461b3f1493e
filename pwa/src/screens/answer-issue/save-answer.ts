import { answerIssue } from "../../actions/answerIssue";
import type { Result } from "../../local/result";
import type { Answering } from "./promise";

type Where = { jobId: string; issueId: string; draftKey: string };

/** The answer goes with all its photos in one write: either all of it is saved or none. */
export async function saveAnswer(
  form: Answering,
  { jobId, issueId, draftKey }: Where,
): Promise<Result> {
  return await answerIssue({
    jobId,
    issueId,
    words: form.words.trim(),
    fixed: form.fixed === true,
    promisedOn: form.fixed ? null : form.promisedOn,
    draftKey,
    photos: form.photos,
  });
}
