import { expect, test } from "vitest";
import { aUnit } from "../../../parts/job-view.builder";
import { emptyDraft, enteredOf, unusualFields } from "../../../parts/reading/entry";
import {
  allFields,
  type Draft,
  fieldsAt,
  isOtherSign,
  NOT_PLANNED,
  type PlanResult,
} from "./draft";
import {
  addedRound,
  begin,
  byId,
  changesIn,
  inTurn,
  isTurned,
  leftS,
  numberOf,
  placesOf,
  readInputs,
  takenBack,
  withClock,
  withoutStart,
  withRound,
  withSwitched,
} from "./rounds";

const PLAN = {
  rounds: [
    { on: ["a", "b"], off: ["c"] },
    { on: ["a", "c"], off: ["b"] },
  ],
  codes: [
    { unit: "a", code: "11" },
    { unit: "b", code: "10" },
    { unit: "c", code: "01" },
  ],
} as PlanResult;
const NOW = "2026-11-25T15:00:00.000Z";
/** In a draft by id, on the screen and in the record by tag. */
const units = ["A", "B", "C"].map((tag) => aUnit({ id: tag.toLowerCase(), tag }));

function aCheck(picked: Record<string, string> = {}): Draft {
  const draft: Draft = { ...emptyDraft(NOT_PLANNED), picked: { how: "supply", ...picked } };
  return { ...draft, own: begin(PLAN, { now: NOW, draft }) };
}

test("the first reading is wanted only where the change is worked out from it", () => {
  expect(placesOf(aCheck())).toEqual(["start", 0, 1, "result"]);
  expect(placesOf(aCheck({ how: "difference" }))).toEqual([0, 1, "result"]);
});

test("a round that was added begins with the units that it is for", () => {
  const { own } = aCheck();
  const more = withRound(own, {
    next: { on: ["a"], off: ["b", "c"], read: ["c"] },
    after: "pause",
  });
  const tags = (place: Draft["own"]["place"]) =>
    inTurn(more, { place, units }).map(({ tag }) => tag);

  expect(tags(more.place)).toEqual(["C", "A", "B"]);
  expect(tags(0)).toEqual(["A", "B", "C"]);
  expect(tags("start")).toEqual(["A", "B", "C"]);
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
  const once = { ...own, ...withSwitched(own, { round: 0, unit: "a" }) };

  expect(once.rounds[0]?.switched).toEqual(["a"]);
  expect(withSwitched(once, { round: 0, unit: "a" }).rounds[0]?.switched).toEqual([]);
});

const RESULT = (draft: Draft): Draft => ({ ...draft, own: { ...draft.own, place: "result" } });
const SETTINGS = { round_s: 600, lag_s: 300, noise_k: 0.5 };

test("in cooling a colder supply is a change upwards, in heating a warmer one", () => {
  const values = { ...SETTINGS, "start.a": 24, "supply[0].a": 15, "supply[1].a": 24.5 };
  const of = (mode: string) =>
    readInputs(values, { draft: RESULT(aCheck({ mode })), units })?.["responses"];

  expect(of("cooling")).toEqual([{ unit: "A", values: [9, -0.5] }]);
  expect(of("heating")).toEqual([{ unit: "A", values: [-9, 0.5] }]);
});

test("without a first reading, or with none in a round, nothing is made up", () => {
  const values = { ...SETTINGS, "start.a": 24, "supply[1].a": 16, "supply[0].b": 15 };

  const inputs = readInputs(values, { draft: RESULT(aCheck()), units });

  expect(inputs?.["responses"]).toEqual([{ unit: "A", values: [null, 8] }]);
});

test("a difference is taken as it was typed", () => {
  const draft = RESULT(aCheck({ how: "difference", mode: "heating" }));

  const inputs = readInputs({ ...SETTINGS, "difference[1].c": 11 }, { draft, units });

  expect(inputs?.["responses"]).toEqual([{ unit: "C", values: [null, 11] }]);
});

test("one more round lengthens every code, and a pause stands where all were off", () => {
  const next = byId({ on: ["B"], off: ["A", "C"], read: ["B", "C"] }, { units });

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
  const values = { ...SETTINGS, "start.a": 24, "supply[0].a": 15 };

  expect(readInputs(values, { draft: aCheck(), units })).toBeNull();
});

test("a unit without a first reading is named, not guessed", () => {
  const entry = { text: "60", unit: "°F", shown: "°F" };
  const typed = { "supply[0].a": entry, "supply[1].b": entry, "start.b": entry };

  expect(withoutStart({ ...aCheck(), typed }, { units })).toEqual(["A"]);
  expect(withoutStart({ ...aCheck({ how: "difference" }), typed }, { units })).toEqual([]);
});

const READ = { text: "60", unit: "°F", shown: "°F" };

test("a new tag on the sheet loses nothing that was read, and the record has the tag of its day", () => {
  const draft = { ...RESULT(aCheck()), typed: { "start.a": READ, "supply[0].a": READ } };
  const renamed = units.map((unit) => (unit.id === "a" ? { ...unit, tag: "A9" } : unit));
  const values = { ...SETTINGS, "start.a": 15.6, "supply[0].a": 15.6 };

  const inputs = readInputs(values, { draft, units: renamed });
  const entered = enteredOf(allFields(draft, { units: renamed }), { draft, picks: [] });

  expect(inputs?.["responses"]).toEqual([{ unit: "A9", values: [0, null] }]);
  expect(Object.keys(entered)).toEqual(["start.A9", "supply[0].A9"]);
});

test("a round that was added by mistake is taken back with its pause and what was read in it", () => {
  const next = { on: ["b"], off: ["a", "c"], read: ["b"] };
  const before = { ...RESULT(aCheck()), typed: { "supply[1].b": READ } };
  const added = {
    ...before,
    own: withRound(before.own, { next, after: "pause" }),
    typed: { ...before.typed, "supply[3].b": READ },
  };

  expect([addedRound(before.own), addedRound(added.own)]).toEqual([null, 3]);
  expect({ ...added, ...takenBack(added) }).toEqual(before);
});

test("only the last of two added rounds is taken back", () => {
  const next = { on: ["b"], off: ["a", "c"], read: ["b"] };
  const draft = RESULT(aCheck());
  const once = withRound(draft.own, { next, after: "straight" });
  const twice = withRound(once, { next, after: "straight" });

  expect(takenBack({ ...draft, own: twice }).own).toEqual({ ...once, place: "result" });
});

test("where most units got warmer while cooling is picked, the other one is asked about", () => {
  const values = {
    ...SETTINGS,
    ...{ "start.a": 20, "supply[0].a": 32, "supply[1].a": 33 },
    ...{ "start.b": 20, "supply[0].b": 31, "supply[1].b": 21 },
    ...{ "start.c": 20, "supply[0].c": 20, "supply[1].c": 20.4 },
  };
  const turned = (mode: string) => isTurned(values, RESULT(aCheck({ mode })));

  expect([turned("cooling"), turned("heating")]).toEqual([true, false]);
  expect(isTurned({ "difference[0].a": -9 }, RESULT(aCheck({ how: "difference" })))).toBe(false);
});

test("a difference with the other sign is asked about at its unit, and wants a reason to be kept", () => {
  const kelvin = (text: string) => ({ text, unit: "K", shown: "K" });
  const draft = {
    ...aCheck({ how: "difference" }),
    typed: { "difference[0].a": kelvin("-9"), "difference[0].b": kelvin("-0.4") },
  };
  const values = { "difference[0].a": -9, "difference[0].b": -0.4 };

  const turned = (round: number) =>
    units.filter((unit) => isOtherSign(round, { draft, unit, values })).map(({ tag }) => tag);
  expect([turned(0), turned(1)]).toEqual([["A"], []]);
  expect(unusualFields(fieldsAt(0, { draft, units }), { draft }).map(({ label }) => label)).toEqual(
    ["A, corridor"],
  );
});
