import type { UnitRow } from "../../local/rows";

/** Neighbours on the round that share a floor: a floor that is come back to stands twice. */
export function byFloor(units: UnitRow[]): { floor: string | null; units: UnitRow[] }[] {
  const floors: { floor: string | null; units: UnitRow[] }[] = [];
  for (const unit of units) {
    const last = floors.at(-1);
    if (last && last.floor === unit.floor) last.units.push(unit);
    else floors.push({ floor: unit.floor, units: [unit] });
  }
  return floors;
}

/** By part of the tag, the place or the room. */
export function matches(unit: UnitRow, { search }: { search: string }): boolean {
  const wanted = search.trim().toLowerCase();
  return [unit.tag, unit.place, unit.room].some((text) => text?.toLowerCase().includes(wanted));
}
