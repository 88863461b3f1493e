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

export type Code = { unit: string; code: string };
export type PlanResult = Result & {
  rounds: { on: string[]; off: string[] }[];
  codes: Code[];
  reasons: Reason[];
};

export type RoundKept = {
  /** Tags of the units that run in it. */
  on: string[];
  /** When all were switched; null before. The clock is worked out from it, app open or not. */
  started_at: string | null;
  /** Tags of the units that somebody has switched for it. */
  switched: string[];
  /** A pause with all off, between the rounds that were planned and one that was added. */
  kind: "round" | "pause";
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
/** The first reading is wanted where the change is worked out from it. */
export const hasStart = isSupply;

/** What a thermometer at one unit shows in one round, by its name in the draft and the record. */
export const startName = (tag: string) => `start.${tag}`;
export const readName = (tag: string, { round, draft }: { round: number; draft: Draft }) =>
  `${isSupply(draft) ? "supply" : "difference"}[${round}].${tag}`;

/** Supply air outside of this is rather a slip (P). */
const USUAL_SUPPLY_C = { low: -5, high: 65 };
/** A unit that changes its air by more has hardly any flow (P). */
const USUAL_DIFFERENCE_K = { low: -10, high: 40 };

function readField(name: string, { label, draft }: { label: string; draft: Draft }): Field {
  return isSupply(draft)
    ? { name, label, quantity: "temperature", need: "optional", usual: USUAL_SUPPLY_C }
    : {
        name,
        label,
        quantity: "temperature_difference",
        need: "optional",
        usual: USUAL_DIFFERENCE_K,
      };
}

/** The fields of one place, a unit each, in the order that is given. */
export function fieldsAt(place: Place, { draft, units }: { draft: Draft; units: UnitRow[] }) {
  if (place === "result") return [];
  return units.map(({ tag, room, place: where }) => {
    const name = place === "start" ? startName(tag) : readName(tag, { round: place, draft });
    return readField(name, { label: [tag, room ?? where].filter(Boolean).join(", "), draft });
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
  const tags = new Set(draft.own.codes?.map((one) => one.unit));
  return units.filter((unit) => tags.has(unit.tag));
}

export function isRead(place: Place, { draft, unit }: { draft: Draft; unit: UnitRow }): boolean {
  const [field] = fieldsAt(place, { draft, units: [unit] });
  return field !== undefined && (draft.typed[field.name]?.text ?? "").trim() !== "";
}
