import { session } from "../local/session";

/** The tables in which people can choose between two values. */
const TABLES = ["issue", "unit", "step"] as const;
export type PickableTable = (typeof TABLES)[number];

/** Of those the ones in which this person can: how a step stands is for technicians to say, not for the office. */
export function pickableTables(): readonly PickableTable[] {
  const who = session.value;
  if (who?.as === "link") return [];
  return who?.role === "dispatcher" ? TABLES.filter((table) => table !== "step") : TABLES;
}
