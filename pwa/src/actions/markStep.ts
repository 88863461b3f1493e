import type { Result } from "../local/result";
import type { StepState } from "../local/rows";
import type { StepMarkFields } from "./fields";
import { write } from "./write";

export type MarkStep = {
  jobId: string;
  stepId: string;
  /** Left out where only its note is written. */
  state?: StepState;
  /** Null leaves the note that is there; empty takes it away. */
  note?: string | null;
  draftKey?: string;
};

/**
 * Mark a step done, failed, not applicable, or to do again.
 *
 * With no signal what hangs on the step is worked out again at once. The server may later refuse it
 * to a contractor when the step is not the contractor's to do.
 */
export async function markStep(what: MarkStep): Promise<Result> {
  const { jobId, stepId, draftKey, ...said } = what;
  const fields: StepMarkFields = { ...said, note: what.note ?? null };
  return await write({
    jobId,
    deeds: [{ type: "step.mark", entity: stepId, fields }],
    draftKey,
  });
}
