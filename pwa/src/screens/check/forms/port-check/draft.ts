/**
 * A port check while it is made: the plan as it was begun, which round it is in, and what was
 * switched. All of it is a draft, so a phone that dies in round 4 opens again in round 4.
 */
import type { UnitRow } from "../../../../local/rows";
import type { Reason } from "../../../../trade/types";
import type { Field, ReadingDraft } from "../../../parts/reading/entry";
import type { Result } from "../../../parts/reading/useLive";
import type { Where } from "../../../parts/reading/useReading";
import { indoorUnits, portOf } from "../ports/sheet";

/** In a draft units are known by their id, so that a new tag loses nothing; in the record by tag. */
export type Code = { unit: string; code: string };
export type PlanResult = Result & {
  rounds: { on: string[]; off: string[] }[];
  codes: Code[];
  reasons: Reason[];
};

export type RoundKept = {
  /** Ids of the units that run in it. */
  on: string[];
  /** When all were switched; null before. The clock is worked out from it, app open or not. */
  started_at: string | null;
  /** Ids of the units that somebody has switched for it. */
  switched: string[];
  /** A pause with all off, between the rounds that were planned and one that was added. */
  kind: "round" | "pause";
  /** Only of a round that was added here: what was between it and the round before. */
  after?: "straight" | "pause";
  /** Ids of the units for which it was added. */
  read?: string[];
};

/** "start" before the first round, "result" after the last, else the place of a round. */
export type Place = "start" | "result" | number;

export type PortCheckDraft = {
  /** Null while it is planned. */
  codes: Code[] | null;
  rounds: RoundKept[];
  place: Place;
  /** Told in the list of checks: "Running for 1 h". */
  started_at?: string;
};
export const NOT_PLANNED: PortCheckDraft = { codes: null, rounds: [], place: "start" };

export type Draft = ReadingDraft<PortCheckDraft>;

/** The units that the sheet puts on a port of their own, and those that share one with them. */
export function unitsOnPorts(where: Where): { units: UnitRow[]; sharing: UnitRow[] } {
  const taken = new Set<string>();
  const units: UnitRow[] = [];
  const sharing: UnitRow[] = [];
  for (const unit of indoorUnits(where)) {
    const port = portOf(unit, where);
    if (port === null) continue;
    (taken.has(port) ? sharing : units).push(unit);
    taken.add(port);
  }
  return { units, sharing };
}

export const isSupply = (draft: Draft) => draft.picked["how"] !== "difference";
export const modeOf = (draft: Draft) => draft.picked["mode"] ?? "cooling";
/** The first reading is wanted where the change is worked out from it. */
export const hasStart = isSupply;

/** What a thermometer at one unit shows: by its id in the draft, by its tag in the record. */
export const startName = (unit: string) => `start.${unit}`;
export const readName = (unit: string, { round, draft }: { round: number; draft: Draft }) =>
  `${isSupply(draft) ? "supply" : "difference"}[${round}].${unit}`;

/** Supply air outside of this is rather a slip (P). */
const USUAL_SUPPLY_C = { low: -5, high: 65 };
/** More has hardly any flow; well below nought is rather the other sign (P). */
const USUAL_DIFFERENCE_K = { low: -3, high: 40 };

type Told = Pick<Field, "name" | "record" | "label">;

function readField(told: Told, { draft }: { draft: Draft }): Field {
  return isSupply(draft)
    ? { ...told, quantity: "temperature", need: "optional", usual: USUAL_SUPPLY_C }
    : {
        ...told,
        quantity: "temperature_difference",
        need: "optional",
        usual: USUAL_DIFFERENCE_K,
      };
}

/** The fields of one place, a unit each, in the order that is given. */
export function fieldsAt(place: Place, { draft, units }: { draft: Draft; units: UnitRow[] }) {
  if (place === "result") return [];
  const nameOf = (unit: string) =>
    place === "start" ? startName(unit) : readName(unit, { round: place, draft });
  return units.map(({ id, tag, room, place: where }) => {
    const label = [tag, room ?? where].filter(Boolean).join(", ");
    return readField({ name: nameOf(id), record: nameOf(tag), label }, { draft });
  });
}

/** All fields of a check that is under way: what is typed in one round stays in the record. */
export function allFields(draft: Draft, { units }: { units: UnitRow[] }): Field[] {
  const { rounds } = draft.own;
  const places: Place[] = hasStart(draft) ? ["start"] : [];
  rounds.forEach((round, at) => {
    if (round.kind === "round") places.push(at);
  });
  return places.flatMap((place) => fieldsAt(place, { draft, units }));
}

/** Units in the plan, in the order they are given. */
export function planned(draft: Draft, units: UnitRow[]): UnitRow[] {
  const ids = new Set(draft.own.codes?.map((one) => one.unit));
  return units.filter((unit) => ids.has(unit.id));
}

export function isRead(place: Place, { draft, unit }: { draft: Draft; unit: UnitRow }): boolean {
  const [field] = fieldsAt(place, { draft, units: [unit] });
  return field !== undefined && (draft.typed[field.name]?.text ?? "").trim() !== "";
}

/** Whether a unit shows far less than nothing in a round: with the other sign it would be usual. */
export function isOtherSign(
  round: number,
  { draft, unit, values }: { draft: Draft; unit: UnitRow; values: Record<string, number> },
): boolean {
  const read = values[readName(unit.id, { round, draft })] ?? 0;
  return !isSupply(draft) && read < USUAL_DIFFERENCE_K.low;
}
