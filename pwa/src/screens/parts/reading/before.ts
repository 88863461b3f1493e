/** What was recorded before. */
import type { ReadingRow, SystemRow, UnitRow } from "../../../local/rows";
import type { JobView } from "../../../queries/job";
import { lastMadeFirst } from "../../../queries/made";
import type { Entry, ReadingDraft } from "./entry";

type Repeated = { typed: ReadingDraft["typed"]; picked: ReadingDraft["picked"] };
type At = { view: JobView; system: SystemRow | undefined; unit: UnitRow | undefined };

/** Readings of a calculation that count still, the newest first. */
export function readingsOf(calculation: string, { view }: { view: JobView }): ReadingRow[] {
  const own = view.readings.filter((one) => one.calculation === calculation);
  const replaced = new Set(own.map((one) => one.replaces_id));
  return lastMadeFirst(own.filter((one) => !replaced.has(one.id)));
}

/** The last reading on just this unit, or on the system itself. */
export function lastHere(calculation: string, { view, system, unit }: At): ReadingRow | undefined {
  return readingsOf(calculation, { view }).find(
    (one) => one.unit_id === (unit?.id ?? null) && one.system_id === (system?.id ?? null),
  );
}

/** The last reading on any unit of the system: what "same as before" repeats. */
export function lastInSystem(calculation: string, { view, system }: At): ReadingRow | undefined {
  return readingsOf(calculation, { view }).find((one) => one.system_id === (system?.id ?? null));
}

/** What was typed and picked then, as it was typed then. */
export function repeated(reading: ReadingRow, { names }: { names: string[] }): Repeated {
  const isChoice = names.filter((name) => reading.entered[name]?.unit === "");
  const typed: Record<string, Entry> = {};
  const picked: Record<string, string> = {};
  for (const name of names) {
    const entry = reading.entered[name];
    if (!entry) continue;
    if (isChoice.includes(name)) picked[name] = entry.text;
    else typed[name] = { ...entry, shown: entry.unit };
  }
  return { typed, picked };
}
