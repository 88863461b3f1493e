import type { Result } from "../local/result";
import { type RecordReading, readingDeed } from "./recordReading";
import { type Deed, write } from "./write";

export type RecordHold = RecordReading & {
  /** The step that an earlier, mistaken reading of this hold had settled; null where none is. */
  reopensStepId: string | null;
};

/**
 * Keep one more look at a hold that runs by the clock, with all those before it.
 *
 * With no signal it counts at once, and the hold goes on from it whether or not the app is closed.
 * A correction that leaves the hold unclear opens the step again that the mistake had settled. The
 * server may later refuse it when the visit was closed before; the readings stay on this phone then.
 */
export async function recordHold({ reopensStepId, ...what }: RecordHold): Promise<Result> {
  const opened: Deed[] = reopensStepId
    ? [{ type: "step.mark", entity: reopensStepId, fields: { state: "todo", note: null } }]
    : [];
  return await write({
    jobId: what.jobId,
    deeds: [readingDeed(what), ...opened],
    draftKey: what.draftKey,
  });
}
