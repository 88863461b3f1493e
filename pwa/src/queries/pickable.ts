import type { Role } from "../local/rows";
import { session } from "../local/session";

/** The tables in which people can choose between two values. */
const TABLES = ["issue", "unit", "step", "visit"] as const;
export type PickableTable = (typeof TABLES)[number];

/** How a step stands is for technicians to say, and what is planned for the office. */
const NOT_THEIRS: Partial<Record<Role, PickableTable>> = {
  dispatcher: "step",
  technician: "visit",
};

/** Of those the ones in which this person can. */
export function pickableTables(): readonly PickableTable[] {
  const who = session.value;
  if (who?.as === "link") return [];
  return TABLES.filter((table) => table !== NOT_THEIRS[who?.role ?? "technician"]);
}
