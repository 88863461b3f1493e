import { expect, test } from "vitest";
import { aJobView, anIssue, aStep, aUnit } from "../parts/job-view.builder";
import { byFloor, matches } from "./order";
import { unitState } from "./unit-state";

const unit = aUnit({ id: "L1-03", room: "Room 103" });

test("what stops a unit is told before what is left to do on it", () => {
  const steps = [aStep({ id: "1", code: "addresses", unit_id: "L1-03" })];
  const stopped = aJobView({
    steps,
    issues: [anIssue({ id: "i", unit_id: "L1-03", stops: ["controls"] })],
  });
  const noted = aJobView({ steps, issues: [anIssue({ id: "i", unit_id: "L1-03", stops: [] })] });

  expect(unitState(unit, { view: stopped }).shape).toBe("gated");
  expect(unitState(unit, { view: noted }).shape).toBe("todo");
});

test("a unit is done when every step is done or does not apply and no issue is open", () => {
  const steps = [
    aStep({ id: "1", code: "addresses", unit_id: "L1-03", state: "done" }),
    aStep({ id: "2", code: "unit_settings", unit_id: "L1-03", state: "not_applicable" }),
  ];
  const over = [anIssue({ id: "i", unit_id: "L1-03", state: "proved" })];

  expect(unitState(unit, { view: aJobView({ steps, issues: over }) })).toMatchObject({
    shape: "done",
    done: 2,
    total: 2,
  });
  expect(
    unitState(unit, {
      view: aJobView({
        steps,
        issues: [anIssue({ id: "i", unit_id: "L1-03", state: "answered" })],
      }),
    }).shape,
  ).toBe("answered");
});

test("the round is read floor by floor, and a floor come back to stands twice", () => {
  const units = [aUnit({ id: "a" }), aUnit({ id: "b", floor: "2" }), aUnit({ id: "c" })];

  expect(byFloor(units).map((floor) => floor.floor)).toEqual(["1", "2", "1"]);
});

test("a unit is found by part of its tag, its place or its room", () => {
  expect(matches(unit, { search: "l1-0" })).toBe(true);
  expect(matches(unit, { search: " room 103 " })).toBe(true);
  expect(matches(unit, { search: "B2" })).toBe(false);
});
