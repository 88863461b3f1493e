import type { Result } from "../local/result";
import type { UnitSetFields } from "./fields";
import { write } from "./write";

export type SetUnit = { jobId: string; unitId: string; changes: UnitSetFields };

/**
 * Correct where a unit stands or how it is addressed.
 *
 * With no signal the change shows at once. When somebody else changed the same field meanwhile, the
 * later arrival counts and the other value stays visible until a person picks.
 */
export async function setUnit(what: SetUnit): Promise<Result> {
  return await write({
    jobId: what.jobId,
    deeds: [{ type: "unit.set", entity: what.unitId, fields: what.changes }],
  });
}
