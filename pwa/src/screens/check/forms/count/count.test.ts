import { expect, test } from "vitest";
import "../../../../text/checks";
import type { ReadingRow, SystemRow } from "../../../../local/rows";
import { aJobView, anIssue, aStep, aUnit } from "../../../parts/job-view.builder";
import { emptyDraft } from "../../../parts/reading/entry";
import {
  type CountResult,
  countInputs,
  NOT_BEGUN,
  nextSuspect,
  poweredOf,
  pressed,
  splitSuspects,
  type Walk,
  walkOf,
} from "./count";

const system = { id: "s1", tag: "S1", kind: "heat_recovery" } as SystemRow;

function aSite() {
  const view = aJobView({
    units: [
      aUnit({ id: "b", tag: "B1", kind: "branch_box", port_count: 3 }),
      aUnit({ id: "x", tag: "L1-01", parent_id: "b", port: 1 }),
      aUnit({ id: "y", tag: "L1-02", parent_id: "b", port: 2 }),
      aUnit({ id: "z", tag: "K1-01", system_id: "s2" }),
    ],
    steps: [
      aStep({ id: "px", code: "power_units", unit_id: "x", state: "done" }),
      aStep({ id: "py", code: "power_units", unit_id: "y", state: "done" }),
    ],
    issues: [anIssue({ id: "i", unit_id: "y", category: "no_power", state: "sent_back" })],
  });
  return { view, system, unit: undefined, step: undefined };
}

const aDraft = (own: Partial<Walk> = {}, picked: Record<string, string> = {}) => ({
  ...emptyDraft({ ...NOT_BEGUN, ...own }),
  picked,
});

test("the units of this system are expected on the ports of the sheet, and no others", () => {
  const inputs = countInputs({ reported_units: 1 }, { draft: aDraft(), where: aSite() });

  expect(inputs?.["expected"]).toEqual([
    { unit: "L1-01", port: "B1-1" },
    { unit: "L1-02", port: "B1-2" },
  ]);
  expect(inputs).not.toHaveProperty("reported_ports");
});

test("an open issue outweighs an earlier look at the power", () => {
  const { view } = aSite();

  const powered = poweredOf(view.units, { view });

  expect(powered).toEqual([
    { unit: "L1-01", seen: true },
    { unit: "L1-02", seen: false },
  ]);
});

test("ports that were pressed answer otherwise than on the sheet", () => {
  const draft = aDraft({ otherwise: ["B1-2", "B1-3"] }, { ports_told: "names" });

  const inputs = countInputs({ reported_units: 2 }, { draft, where: aSite() });

  expect(inputs?.["reported_ports"]).toEqual(["B1-1", "B1-3"]);
});

test("a number of ports counts only where a number is told", () => {
  const values = { reported_units: 2, reported_ports: 2 };

  const number = countInputs(values, {
    draft: aDraft({}, { ports_told: "number" }),
    where: aSite(),
  });
  const none = countInputs(values, { draft: aDraft({}, { ports_told: "none" }), where: aSite() });

  expect(number?.["reported_ports"]).toBe(2);
  expect(none).not.toHaveProperty("reported_ports");
});

test("a second press of the same takes it back, the other one changes it", () => {
  const once = { ...NOT_BEGUN, ...pressed(NOT_BEGUN, { tag: "L1-01", as: "still" }) };

  expect(once.seen).toEqual({ "L1-01": "still" });
  expect(pressed(once, { tag: "L1-01", as: "still" }).seen).toEqual({});
  expect(pressed(once, { tag: "L1-01", as: "running" }).seen).toEqual({ "L1-01": "running" });
});

const aSuspect = (unit: string, ...codes: string[]) => ({
  unit,
  port: null,
  score: 1,
  reasons: codes.map((code) => ({ code, values: {} })),
});
const short = (suspects: CountResult["suspects"], ...codes: string[]): CountResult => ({
  suspects,
  missing_count: 1,
  reasons: codes.map((code) => ({ code, values: {} })),
});
const tags = (suspects: CountResult["suspects"]) => suspects.map(({ unit }) => unit);

test("the next one to go to is the likeliest that nobody has looked at", () => {
  const result = short([aSuspect("L1-02"), aSuspect("L1-01")]);

  expect(nextSuspect(result, NOT_BEGUN)?.unit).toBe("L1-02");
  expect(nextSuspect(result, { ...NOT_BEGUN, seen: { "L1-02": "still" } })?.unit).toBe("L1-01");
});

test("a unit that is known to have no power is not where to go next", () => {
  const result = short([aSuspect("L1-02", "no_power"), aSuspect("L1-01", "fan_not_looked_at")]);

  expect(nextSuspect(result, NOT_BEGUN)?.unit).toBe("L1-01");
});

test("nobody has to walk on once as many are found as are missing, or more", () => {
  const suspects = [aSuspect("L1-02", "fan_stands_still"), aSuspect("L1-01")];
  const after = (code: string) => nextSuspect(short(suspects, code), NOT_BEGUN)?.unit;

  expect(after("some_units_found")).toBe("L1-01");
  expect(after("missing_units_found")).toBeUndefined();
  expect(after("more_found_than_missing")).toBeUndefined();
});

test("those that are known not to answer take no place among those to look at", () => {
  const result = short([
    ...["A", "B", "C"].map((tag) => aSuspect(tag, "fan_stands_still")),
    aSuspect("D", "no_power"),
    ...["E", "F"].map((tag) => aSuspect(tag, "fan_not_looked_at")),
  ]);

  const { open, found } = splitSuspects(result, { ...NOT_BEGUN, seen: { A: "still", F: "still" } });

  expect(tags(open)).toEqual(["E"]);
  expect(tags(found)).toEqual(["A", "B", "C", "D", "F"]);
});

test("a unit that was just seen running is neither, though the engine has not told so yet", () => {
  const result = short([aSuspect("A", "no_power"), aSuspect("B", "fan_not_looked_at")]);

  const { open, found } = splitSuspects(result, { ...NOT_BEGUN, seen: { A: "running" } });

  expect([tags(open), tags(found)]).toEqual([["B"], []]);
});

test("the walk of the last count can be gone on with, unless it passed", () => {
  const fan_seen = [{ unit: "L1-01", running: true }];
  const last = (verdict: string) => ({ verdict, inputs: { fan_seen } }) as unknown as ReadingRow;

  expect(walkOf(last("fail"))).toEqual({ "L1-01": "running" });
  expect(walkOf(last("unclear"))).toEqual({ "L1-01": "running" });
  expect(walkOf(last("pass"))).toEqual({});
  expect(walkOf(undefined)).toEqual({});
});
