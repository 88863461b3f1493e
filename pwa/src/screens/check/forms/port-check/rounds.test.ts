import { expect, test } from "vitest";
import { aUnit } from "../../../parts/job-view.builder";
import { emptyDraft } from "../../../parts/reading/entry";
import { type Draft, NOT_PLANNED, type PlanResult } from "./draft";
import {
  begin,
  changesIn,
  leftS,
  numberOf,
  placesOf,
  readInputs,
  withClock,
  withoutStart,
  withRound,
  withSwitched,
} from "./rounds";

const PLAN = {
  rounds: [
    { on: ["A", "B"], off: ["C"] },
    { on: ["A", "C"], off: ["B"] },
  ],
  codes: [
    { unit: "A", code: "11" },
    { unit: "B", code: "10" },
    { unit: "C", code: "01" },
  ],
} as PlanResult;
const NOW = "2026-11-25T15:00:00.000Z";
const units = ["A", "B", "C"].map((id) => aUnit({ id }));

function aCheck(picked: Record<string, string> = {}): Draft {
  const draft: Draft = { ...emptyDraft(NOT_PLANNED), picked: { how: "supply", ...picked } };
  return { ...draft, own: begin(PLAN, { now: NOW, draft }) };
}

test("the first reading is wanted only where the change is worked out from it", () => {
  expect(placesOf(aCheck())).toEqual(["start", 0, 1, "result"]);
  expect(placesOf(aCheck({ how: "difference" }))).toEqual([0, 1, "result"]);
});

test("only what changes against the round before is switched", () => {
  const { own } = aCheck();
  const words = (round: number) =>
    changesIn(own, { round, units }).map(({ unit, to }) => `${unit.tag} ${to}`);

  expect(words(0)).toEqual(["A on", "B on"]);
  expect(words(1)).toEqual(["B off", "C on"]);
});

test("the clock is worked out from when the round began, and never runs backwards", () => {
  const { rounds } = withClock(aCheck().own, { round: 1, now: NOW });
  const [first, second] = rounds;
  if (!first || !second) throw new Error("rounds are missing");
  const left = (minutes: number) =>
    leftS(second, { now_ms: Date.parse(NOW) + minutes * 60_000, round_s: 600 });

  expect(leftS(first, { now_ms: Date.parse(NOW), round_s: 600 })).toBeNull();
  expect([left(0), left(4), left(30), left(-5)]).toEqual([600, 360, 0, 600]);
});

test("a unit that was switched by mistake is pressed once more", () => {
  const { own } = aCheck();
  const once = { ...own, ...withSwitched(own, { round: 0, tag: "A" }) };

  expect(once.rounds[0]?.switched).toEqual(["A"]);
  expect(withSwitched(once, { round: 0, tag: "A" }).rounds[0]?.switched).toEqual([]);
});

const RESULT = (draft: Draft): Draft => ({ ...draft, own: { ...draft.own, place: "result" } });
const SETTINGS = { round_s: 600, lag_s: 300, noise_k: 0.5 };

test("in cooling a colder supply is a change upwards, in heating a warmer one", () => {
  const values = { ...SETTINGS, "start.A": 24, "supply[0].A": 15, "supply[1].A": 24.5 };
  const of = (mode: string) => readInputs(values, RESULT(aCheck({ mode })))?.["responses"];

  expect(of("cooling")).toEqual([{ unit: "A", values: [9, -0.5] }]);
  expect(of("heating")).toEqual([{ unit: "A", values: [-9, 0.5] }]);
});

test("without a first reading, or with none in a round, nothing is made up", () => {
  const values = { ...SETTINGS, "start.A": 24, "supply[1].A": 16, "supply[0].B": 15 };

  const inputs = readInputs(values, RESULT(aCheck()));

  expect(inputs?.["responses"]).toEqual([{ unit: "A", values: [null, 8] }]);
});

test("a difference is taken as it was typed", () => {
  const draft = RESULT(aCheck({ how: "difference", mode: "heating" }));

  const inputs = readInputs({ ...SETTINGS, "difference[1].C": 11 }, draft);

  expect(inputs?.["responses"]).toEqual([{ unit: "C", values: [null, 11] }]);
});

test("one more round lengthens every code, and a pause stands where all were off", () => {
  const next = { on: ["B"], off: ["A", "C"], read: ["B", "C"] };

  const straight = withRound(aCheck().own, { next, after: "straight" });
  const paused = withRound(aCheck().own, { next, after: "pause" });

  expect(straight.codes?.map((one) => one.code)).toEqual(["110", "101", "010"]);
  expect(paused.codes?.map((one) => one.code)).toEqual(["1100", "1001", "0100"]);
  expect([paused.place, numberOf(paused, 3)]).toEqual([3, 3]);
  expect(placesOf({ ...aCheck(), own: paused })).toEqual(["start", 0, 1, 3, "result"]);
  expect(changesIn(paused, { round: 3, units }).map(({ unit, to }) => `${unit.tag} ${to}`)).toEqual(
    ["B on"],
  );
});

test("nothing is judged while one goes through the rounds", () => {
  const values = { ...SETTINGS, "start.A": 24, "supply[0].A": 15 };

  expect(readInputs(values, aCheck())).toBeNull();
});

test("a unit without a first reading is named, not guessed", () => {
  const entry = { text: "60", unit: "°F", shown: "°F" };
  const typed = { "supply[0].A": entry, "supply[1].B": entry, "start.B": entry };

  expect(withoutStart({ ...aCheck(), typed }, { units })).toEqual(["A"]);
  expect(withoutStart({ ...aCheck({ how: "difference" }), typed }, { units })).toEqual([]);
});
