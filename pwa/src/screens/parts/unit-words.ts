import type { UnitRow, VisitRow } from "../../local/rows";
import { session } from "../../local/session";
import type { JobView } from "../../queries/job";
import { byStart, isStanding } from "../../queries/visits";
import { hasText, t } from "../../text";

/** A code in words; a code from a newer server that has no words yet is shown as it is. */
export function wordsFor(prefix: string, code: string): string {
  const key = `${prefix}.${code}`;
  return hasText(key) ? t(key) : code.replaceAll("_", " ");
}

export function floorWords(floor: string | null): string {
  if (!floor) return t("unit.no_floor");
  return /^-?\d+$/.test(floor) ? t("unit.floor", { floor }) : floor;
}

/** "Floor 2, corridor" */
export function placeOf(unit: UnitRow): string {
  return [floorWords(unit.floor), unit.place, unit.room].filter(Boolean).join(", ");
}

/** "box B2, port 5" */
export function parentWords(unit: UnitRow, { view }: { view: JobView }): string | null {
  const parent = unit.parent_id ? view.unitById.get(unit.parent_id) : undefined;
  if (!parent) return null;
  if (unit.port === null) return parent.tag;
  return t("unit.on_port", { tag: parent.tag, port: unit.port });
}

/** The visit that the person is on: the first of their own that is not over, else the first. */
export function currentVisit(view: JobView): VisitRow | undefined {
  const open = view.visits.filter(isStanding).sort(byStart);
  return open.find((visit) => visit.person_id === session.value?.principal_id) ?? open[0];
}
