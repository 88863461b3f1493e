/** What the as-built sheet says of the ports of a system. */
import type { SystemRow, UnitRow } from "../../../../local/rows";
import type { JobView } from "../../../../queries/job";
import { t } from "../../../../text";

type At = { view: JobView; system: SystemRow | undefined };

export function indoorUnits({ view, system }: At): UnitRow[] {
  return view.units.filter(
    (unit) => unit.kind === "indoor_unit" && unit.system_id === (system?.id ?? null),
  );
}

export function boxesOf({ view, system }: At): UnitRow[] {
  return view.units.filter(
    (unit) => unit.kind === "branch_box" && unit.system_id === (system?.id ?? null),
  );
}

/** Ports have numbers within their box: "B2-5" is one of all. */
export function portName(box: UnitRow, { port }: { port: number }): string {
  return t("ports.name", { tag: box.tag, port });
}

/** The port of a unit by its name, where the sheet puts it on one. */
export function portOf(unit: UnitRow, { view }: { view: JobView }): string | null {
  const box = view.unitById.get(unit.parent_id ?? "");
  if (box?.kind !== "branch_box" || unit.port === null) return null;
  return portName(box, { port: unit.port });
}

/** By port number; where the sheet puts two units on one port both are there. */
export function unitsOfBox(box: UnitRow, { view }: { view: JobView }): Map<number, UnitRow[]> {
  const found = new Map<number, UnitRow[]>();
  for (const unit of view.units) {
    if (unit.parent_id !== box.id || unit.port === null) continue;
    found.set(unit.port, [...(found.get(unit.port) ?? []), unit]);
  }
  return found;
}

/** As many as the sheet says, and at least those it uses. */
export function portCount(box: UnitRow, { view }: { view: JobView }): number {
  return Math.max(box.port_count ?? 0, ...unitsOfBox(box, { view }).keys(), 0);
}
