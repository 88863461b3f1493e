/** Going through the rounds: what changes in each, its clock, and what the engine makes of all. */
import type { UnitRow } from "../../../../local/rows";
import type { Inputs } from "../../../parts/reading/useReading";
import {
  type Code,
  type Draft,
  hasStart,
  isRead,
  isSupply,
  type Place,
  type PlanResult,
  type PortCheckDraft,
  type RoundKept,
  readName,
  startName,
} from "./draft";

const fresh = (on: string[], kind: RoundKept["kind"] = "round"): RoundKept => ({
  on,
  started_at: null,
  switched: [],
  kind,
});

/** The plan becomes what is done. */
export function begin(plan: PlanResult, { now, draft }: { now: string; draft: Draft }) {
  const own: PortCheckDraft = {
    codes: plan.codes,
    rounds: plan.rounds.map((round) => fresh(round.on)),
    place: hasStart(draft) ? "start" : 0,
    started_at: now,
  };
  return own;
}

export type NextRound = { on: string[]; off: string[]; read: string[] };

/**
 * One more round, after those that were planned. The engine takes the rounds as following each
 * other; where all were off meanwhile a pause stands between.
 */
export function withRound(
  own: PortCheckDraft,
  { next, after }: { next: NextRound; after: "straight" | "pause" },
): PortCheckDraft {
  const pause = after === "pause" ? [fresh([], "pause")] : [];
  const rounds = [...own.rounds, ...pause, { ...fresh(next.on), after, read: next.read }];
  const codes = own.codes?.map(({ unit, code }) => ({
    unit,
    code: `${code}${after === "pause" ? "0" : ""}${next.on.includes(unit) ? "1" : "0"}`,
  }));
  return { ...own, rounds, codes: codes ?? null, place: rounds.length - 1 };
}

/** The names in a draft of what was read in a round. */
const isReadIn = (name: string, from: number) => {
  const round = /^(?:supply|difference)\[(\d+)\]/.exec(name)?.[1];
  return round !== undefined && Number(round) >= from;
};

/** The last round, where it is one that was added: it can be taken back. */
export function addedRound({ rounds }: PortCheckDraft): number | null {
  return rounds.at(-1)?.after ? rounds.length - 1 : null;
}

/** Without the round that was added last, its pause, and what was read in it. */
export function takenBack({ own, typed }: Draft): Pick<Draft, "own" | "typed"> {
  const long = own.rounds.length - (own.rounds.at(-1)?.after === "pause" ? 2 : 1);
  const codes = own.codes?.map(({ unit, code }) => ({ unit, code: code.slice(0, long) }));
  return {
    own: { ...own, codes: codes ?? null, rounds: own.rounds.slice(0, long), place: "result" },
    typed: Object.fromEntries(Object.entries(typed).filter(([name]) => !isReadIn(name, long))),
  };
}

/** The round before, or all off before the first. */
export function onBefore(own: PortCheckDraft, round: number): string[] {
  return own.rounds[round - 1]?.on ?? [];
}

export type Change = { unit: UnitRow; to: "on" | "off" };

/** Only what changes against the round before has to be walked to. */
export function changesIn(
  own: PortCheckDraft,
  { round, units }: { round: number; units: UnitRow[] },
) {
  const before = onBefore(own, round);
  const now = own.rounds[round]?.on ?? [];
  return units.flatMap((unit): Change[] => {
    const [was, is] = [before.includes(unit.id), now.includes(unit.id)];
    return was === is ? [] : [{ unit, to: is ? "on" : "off" }];
  });
}

/** In walking order; in a round that was added those first for which it was, since the rest may be left out. */
export function inTurn(
  own: PortCheckDraft,
  { place, units }: { place: Place; units: UnitRow[] },
): UnitRow[] {
  const read = typeof place === "number" ? own.rounds[place]?.read : undefined;
  const isWanted = ({ id }: UnitRow) => read?.includes(id) ?? false;
  return [...units.filter(isWanted), ...units.filter((unit) => !isWanted(unit))];
}

export function withSwitched(
  own: PortCheckDraft,
  { round, unit }: { round: number; unit: string },
) {
  const rounds = own.rounds.map((one, at) => {
    if (at !== round) return one;
    const rest = one.switched.filter((other) => other !== unit);
    return { ...one, switched: rest.length < one.switched.length ? rest : [...rest, unit] };
  });
  return { rounds };
}

export function withClock(own: PortCheckDraft, { round, now }: { round: number; now: string }) {
  return {
    rounds: own.rounds.map((one, at) => (at === round ? { ...one, started_at: now } : one)),
  };
}

/** Seconds left in a round; a clock that was set back counts from its beginning. */
export function leftS(round: RoundKept, { now_ms, round_s }: { now_ms: number; round_s: number }) {
  if (!round.started_at) return null;
  const gone_s = Math.max(0, (now_ms - Date.parse(round.started_at)) / 1000);
  return Math.max(0, round_s - gone_s);
}

/** Every place that somebody goes through, in order; a pause is none. */
export function placesOf(draft: Draft): Place[] {
  const rounds = draft.own.rounds.flatMap((round, at) => (round.kind === "round" ? [at] : []));
  return [...(hasStart(draft) ? (["start"] as const) : []), ...rounds, "result"];
}

/** Rounds are counted without the pauses between. */
export function numberOf(own: PortCheckDraft, round: number): number {
  return own.rounds.slice(0, round + 1).filter((one) => one.kind === "round").length;
}

type Values = { values: Record<string, number>; draft: Draft };

/** The changes at a unit, K: more than nothing when it runs, cooling or heating. */
function changesAt(unit: string, { values, draft }: Values): (number | null)[] {
  const start = values[startName(unit)];
  const change = (read: number | undefined) => {
    if (read === undefined || !isSupply(draft)) return read ?? null;
    if (start === undefined) return null;
    return draft.picked["mode"] === "heating" ? read - start : start - read;
  };
  return draft.own.rounds.map((one, round) =>
    one.kind === "pause" ? null : change(values[readName(unit, { round, draft })]),
  );
}

function responsesOf(codes: Code[], at: Values) {
  return codes.flatMap(({ unit }) => {
    const values = changesAt(unit, at);
    return values.some((one) => one !== null) ? [{ unit, values }] : [];
  });
}

/** A change by less is not told from a slow room or a breath of air (P). */
const TURNED_K = -3;

/** Most units got warmer where cooling was picked, or colder where heating was. */
export function isTurned(values: Record<string, number>, draft: Draft): boolean {
  if (!isSupply(draft)) return false;
  const responses = responsesOf(draft.own.codes ?? [], { values, draft });
  const turned = responses.filter(({ values: changes }) => {
    const known = changes.flatMap((one) => one ?? []);
    return Math.min(...known) < TURNED_K && Math.max(...known) < -TURNED_K;
  });
  return 2 * turned.length > responses.length;
}

/** Units that were read in a round, and not before the first: their change cannot be told. */
export function withoutStart(draft: Draft, { units }: { units: UnitRow[] }): string[] {
  if (!hasStart(draft)) return [];
  return units
    .filter((unit) => {
      const inRounds = draft.own.rounds.some((_, round) => isRead(round, { draft, unit }));
      return inRounds && !isRead("start", { draft, unit });
    })
    .map((unit) => unit.tag);
}

/** Judged where the result is looked at: working it out for all units takes a moment. */
export function readInputs(
  values: Record<string, number>,
  { draft, units }: { draft: Draft; units: UnitRow[] },
): Inputs | null {
  const { codes, place } = draft.own;
  if (!codes || place !== "result") return null;
  const responses = responsesOf(codes, { values, draft });
  if (responses.length === 0) return null;
  const { round_s, lag_s, noise_k } = values;
  const byTag = <T extends { unit: string }>(row: T): T => ({
    ...row,
    unit: units.find(({ id }) => id === row.unit)?.tag ?? row.unit,
  });
  return { codes: codes.map(byTag), responses: responses.map(byTag), round_s, lag_s, noise_k };
}

/** What the engine proposes by tag, by id. */
export function byId(next: NextRound, { units }: { units: UnitRow[] }): NextRound {
  const ids = (tags: string[]) => units.filter(({ tag }) => tags.includes(tag)).map(({ id }) => id);
  return { on: ids(next.on), off: ids(next.off), read: ids(next.read) };
}
