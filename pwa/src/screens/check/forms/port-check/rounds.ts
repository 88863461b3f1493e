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
  const rounds = [...own.rounds, ...pause, fresh(next.on)];
  const codes = own.codes?.map(({ unit, code }) => ({
    unit,
    code: `${code}${after === "pause" ? "0" : ""}${next.on.includes(unit) ? "1" : "0"}`,
  }));
  return { ...own, rounds, codes: codes ?? null, place: rounds.length - 1 };
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
    const [was, is] = [before.includes(unit.tag), now.includes(unit.tag)];
    return was === is ? [] : [{ unit, to: is ? "on" : "off" }];
  });
}

export function withSwitched(own: PortCheckDraft, { round, tag }: { round: number; tag: string }) {
  const rounds = own.rounds.map((one, at) => {
    if (at !== round) return one;
    const rest = one.switched.filter((other) => other !== tag);
    return { ...one, switched: rest.length < one.switched.length ? rest : [...rest, tag] };
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

/** The change at a unit in a round, K: more than nothing when it runs, cooling or heating. */
function changeOf(
  tag: string,
  { round, values, draft }: { round: number; values: Record<string, number>; draft: Draft },
): number | null {
  const read = values[readName(tag, { round, draft })];
  if (read === undefined) return null;
  if (!isSupply(draft)) return read;
  const start = values[startName(tag)];
  if (start === undefined) return null;
  return draft.picked["mode"] === "heating" ? read - start : start - read;
}

function responsesOf(codes: Code[], values: Record<string, number>, draft: Draft) {
  return codes.flatMap(({ unit }) => {
    const changes = draft.own.rounds.map((one, round) =>
      one.kind === "pause" ? null : changeOf(unit, { round, values, draft }),
    );
    return changes.some((one) => one !== null) ? [{ unit, values: changes }] : [];
  });
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
export function readInputs(values: Record<string, number>, draft: Draft): Inputs | null {
  const { codes, place } = draft.own;
  if (!codes || place !== "result") return null;
  const responses = responsesOf(codes, values, draft);
  if (responses.length === 0) return null;
  const { round_s, lag_s, noise_k } = values;
  return { codes, responses, round_s, lag_s, noise_k };
}
