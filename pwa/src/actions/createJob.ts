import type { Result } from "../local/result";
import { uuid7 } from "../local/uuid7";
import type { JobCreateFields, NewSystem, NewUnit, SheetLimits } from "./fields";
import { missingTexts } from "./required";
import { write } from "./write";

export type { NewSystem, NewUnit } from "./fields";
export type CreateJob = {
  name: string;
  address: string;
  contractorFirm: string;
  timeZone: string;
  shiftStart: string;
  shiftEnd: string;
  shiftDays: number[];
  invented?: boolean;
  systems: NewSystem[];
  units: NewUnit[];
  limits?: SheetLimits;
  draftKey?: string;
};

/**
 * Set up a job from a checked as-built sheet.
 *
 * With no signal the job shows at once with its units; its steps and limits come from the server.
 * The server may later refuse a sheet whose units do not fit together; the whole job then lies
 * under "Needs your attention".
 */
export async function createJob(what: CreateJob): Promise<Result> {
  const invalid = missingTexts({ name: what.name, time_zone: what.timeZone });
  if (invalid) {
    return invalid;
  }
  const id = uuid7();
  const fields: JobCreateFields = {
    name: what.name,
    address: what.address,
    contractor_firm: what.contractorFirm,
    time_zone: what.timeZone,
    shift_start: what.shiftStart,
    shift_end: what.shiftEnd,
    shift_days: what.shiftDays,
    invented: what.invented ?? false,
    systems: what.systems,
    units: what.units,
    ...(Object.keys(what.limits ?? {}).length > 0 ? { limits: what.limits } : {}),
  };
  return await write({
    jobId: id,
    deeds: [{ type: "job.create", entity: id, fields }],
    draftKey: what.draftKey,
  });
}
