import type { Result } from "../local/result";
import type { Entered, Instrument, Verdict } from "../local/rows";
import { uuid7 } from "../local/uuid7";
import { photoDeeds, type WithPhotos } from "./addPhoto";
import type { ReadingFields } from "./fields";
import { type Deed, write } from "./write";

export type RecordReading = WithPhotos & {
  jobId: string;
  calculation: string;
  systemId: string | null;
  unitId: string | null;
  stepId: string | null;
  visitId: string | null;
  /** What the engine took, in SI. */
  inputs: Record<string, unknown>;
  /** What was typed, with its unit, unconverted. */
  entered: Entered;
  outputs: Record<string, unknown>;
  /** Null where there is no limit to judge by. */
  verdict: Verdict | null;
  engineVersion: string;
  instrument?: Instrument | null;
  /** Why an unusual value was kept. */
  reason?: string | null;
  /** The reading that this one corrects; a reading is never edited. */
  replacesId?: string | null;
  /** A step that no verdict settles: the person says with the reading that it is done. */
  doneStepId?: string | null;
  takenAt?: string;
  draftKey?: string;
};

/** A reading as a deed, for a write that holds more than that. */
export function readingDeed(what: RecordReading): Deed {
  const fields: ReadingFields = {
    calculation: what.calculation,
    system_id: what.systemId,
    unit_id: what.unitId,
    step_id: what.stepId,
    visit_id: what.visitId,
    inputs: what.inputs,
    entered: what.entered,
    outputs: what.outputs,
    verdict: what.verdict,
    engine_version: what.engineVersion,
    instrument: what.instrument ?? null,
    reason: what.reason ?? null,
    replaces_id: what.replacesId ?? null,
    taken_at: what.takenAt ?? new Date().toISOString(),
  };
  return { type: "reading.record", entity: uuid7(), fields };
}

function doneDeed(stepId: string): Deed {
  return { type: "step.mark", entity: stepId, fields: { state: "done", note: null } };
}

/**
 * Keep a reading with the verdict that was shown.
 *
 * With no signal the reading counts at once and its step with it. The server computes the verdict
 * again with the same engine and marks a difference; it may later refuse a reading on a visit that
 * this phone had been told is closed.
 */
export async function recordReading(what: RecordReading): Promise<Result> {
  const reading = readingDeed(what);
  const photos = photoDeeds(what, { reading_id: reading.entity });
  return await write({
    jobId: what.jobId,
    deeds: [reading, ...photos, ...(what.doneStepId ? [doneDeed(what.doneStepId)] : [])],
    draftKey: what.draftKey,
  });
}
