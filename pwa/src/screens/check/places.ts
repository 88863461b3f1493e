/** Which checks there are on a system, a unit or a step, and the way to each. */
import type { StepRow, SystemRow, UnitRow, Verdict } from "../../local/rows";
import type { JobView } from "../../queries/job";
import { lastHere } from "../parts/reading/before";
import { FORMS, type FormRow } from "./forms";

/** Where somebody comes from: the way back leads there. */
export type From = "checks" | "unit" | "step";

export type Place = {
  view: JobView;
  system: SystemRow | undefined;
  unit?: UnitRow | undefined;
  step?: StepRow | undefined;
};

export function checkPath(row: FormRow, at: Place & { from: From }): string {
  const { view, system, unit, step, from } = at;
  if (row.path && unit) return row.path({ jobId: view.job.id, unitId: unit.id });
  const query = new URLSearchParams();
  if (system) query.set("system", system.id);
  if (unit) query.set("unit", unit.id);
  if (step) query.set("step", step.id);
  query.set("from", from);
  return `/job/${view.job.id}/check/${row.calculation}?${query}`;
}

/** Back to where one came from, however it was left; the list of checks when nobody knows. */
export function backPath({ view, unit, from }: Place & { from: string }): string {
  const job = `/job/${view.job.id}`;
  if (from === "unit" && unit) return `${job}/unit/${unit.id}`;
  return from === "step" ? job : `${job}/checks`;
}

export function isOn(row: FormRow, system: SystemRow): boolean {
  return row.only === undefined || row.only === system.kind;
}

/** The units of a system that a check is made on, in the order of the round. */
export function unitsFor(row: FormRow, { view, system }: Place): UnitRow[] {
  return view.units.filter(
    (unit) => row.kinds.includes(unit.kind) && unit.system_id === (system?.id ?? null),
  );
}

/** The step that the reading settles: the unit's own, or the system's. */
export function stepFor(row: FormRow, { view, system, unit }: Place): StepRow | undefined {
  return view.steps.find(
    (step) =>
      step.code === row.proves &&
      step.system_id === system?.id &&
      step.unit_id === (unit?.id ?? null),
  );
}

export function checksOfUnit(unit: UnitRow): FormRow[] {
  return FORMS.filter((row) => [...row.kinds, ...(row.alsoOn ?? [])].includes(unit.kind));
}

export function checksOfStep(code: string): FormRow[] {
  return FORMS.filter((row) => row.steps.includes(code));
}

/** The next unit after this one in the order of the round: first those not measured, then those that failed or settled nothing. */
export function nextUnit(row: FormRow, { view, system, unit }: Place): UnitRow | undefined {
  const units = unitsFor(row, { view, system });
  const at = units.findIndex((one) => one.id === unit?.id);
  const others = [...units.slice(at + 1), ...units.slice(0, Math.max(0, at))];
  const last = (one: UnitRow) => lastHere(row.calculation, { view, system, unit: one });
  const of = (verdict: Verdict) => others.find((one) => last(one)?.verdict === verdict);
  return others.find((one) => !last(one)) ?? of("fail") ?? of("unclear");
}
