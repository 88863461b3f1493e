/** A job to be measured on, made as the office makes one: a system, its units, and a visit for Ben. */
import { sheetOf } from "../model/world.ts";
import { Device, mustBe, type Owner } from "./device.ts";

export type Stand = { app: string; port: number };
export type Site = { job_id: string; unit_id: string };
type Asked = Stand & { office: Owner; technician_id: string };

export async function site({ office, technician_id, ...stand }: Asked): Promise<Site> {
  const ana = await new Device(office, stand).enter();
  const { uuid7, createJob, planVisit } = ana.app;
  const [unit_id = "", ...others] = Array.from({ length: 4 }, uuid7);
  const sheet = sheetOf({ system_id: uuid7(), unit_ids: [unit_id, ...others] }, "Invented site");
  const made = await createJob(sheet);
  const job_id = made.ok ? made.id : "";
  const planned = await planVisit({
    jobId: job_id,
    personId: technician_id,
    purpose: "part_one",
    startsAt: new Date().toISOString(),
    plannedS: 28_800,
  });
  mustBe(true, planned.ok);
  await ana.push();
  return { job_id, unit_id };
}
