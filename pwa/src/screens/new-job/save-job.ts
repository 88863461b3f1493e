import { createJob } from "../../actions/createJob";
import { planVisit } from "../../actions/planVisit";
import type { Result } from "../../local/result";
import { startsAt } from "../book/visit-form";
import type { JobForm } from "./job-form";

/**
 * The job first, then its visit: two mutations of one lane, so the server sees
 * them in this order. A visit that does not fit on the device any more leaves
 * the job saved; its page then shows that no visit is planned.
 */
export async function saveJob(form: JobForm, { draftKey }: { draftKey: string }): Promise<Result> {
  if (!form.sheet) return { ok: false, code: "invalid", fields: { sheet: "missing" } };
  const created = await createJob({
    name: form.name.trim(),
    address: form.address.trim(),
    contractorFirm: form.firm.trim(),
    timeZone: form.zone,
    shiftStart: form.shiftStart,
    shiftEnd: form.shiftEnd,
    shiftDays: form.shiftDays.map(Number).sort(),
    systems: form.sheet.checked.systems,
    units: form.sheet.checked.units,
    limits: form.sheet.checked.limits ?? {},
    draftKey,
  });
  if (!created.ok) return created;
  const { visit } = form;
  await planVisit({
    jobId: created.id,
    purpose: visit.purpose,
    startsAt: new Date(startsAt(visit, { zone: form.zone })).toISOString(),
    plannedS: visit.hours * 3600,
    personId: visit.personId,
    note: visit.note.trim() || null,
  });
  return created;
}
