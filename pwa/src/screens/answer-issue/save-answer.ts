import { addPhoto } from "../../actions/addPhoto";
import { answerIssue } from "../../actions/answerIssue";
import type { Result } from "../../local/result";
import type { Answering } from "./promise";

type Where = { jobId: string; issueId: string; draftKey: string };

/**
 * The answer goes with its first photo in one piece; more photos follow it. If
 * the phone fills up between two photos the answer is saved, and the photo that
 * did not fit is told as a failure.
 */
export async function saveAnswer(
  form: Answering,
  { jobId, issueId, draftKey }: Where,
): Promise<Result> {
  const [first, ...rest] = form.photos;
  const saved = await answerIssue({
    jobId,
    issueId,
    words: form.words.trim(),
    fixed: form.fixed === true,
    promisedOn: form.fixed ? null : form.promisedOn,
    draftKey,
    ...(first ? { photo: first } : {}),
  });
  if (!saved.ok) return saved;
  for (const photo of rest) {
    const added = await addPhoto({ jobId, issueId, photo });
    if (!added.ok) return added;
  }
  return saved;
}
