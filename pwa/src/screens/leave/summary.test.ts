import { expect, test } from "vitest";
import { aGroup, aJobView, anIssue, aPlan, aStep, aUnit, aVisit } from "../parts/job-view.builder";
import { doneToday, notDone, summaryOf } from "./summary";

const visit = aVisit();
const done = { state: "done", done_at: "2026-11-25T15:00:00.000Z" } as const;
const view = aJobView({
  issues: [anIssue({ id: "leak" }), anIssue({ id: "old", state: "proved" })],
  steps: [
    aStep({ id: "1", code: "addresses", unit_id: "L1-01", ...done }),
    aStep({ id: "2", code: "addresses", unit_id: "L1-02", ...done }),
    aStep({ id: "3", code: "supply", unit_id: "M1", ...done, state: "failed" }),
    aStep({ id: "4", code: "joints", unit_id: "J1", ...done, done_at: "2026-11-24T15:00:00.000Z" }),
  ],
});

test("done is what was done on the day of the visit; a failed reading is not done", () => {
  const lines = doneToday(visit, { view });

  expect(lines.map((line) => [line.code, line.count, line.words])).toEqual([
    ["addresses", 2, "2 units"],
  ]);
});

test("the evening of the site counts as its day, whatever the day is in Greenwich", () => {
  const late = aStep({ id: "5", code: "count", ...done, done_at: "2026-11-26T03:00:00.000Z" });
  const before = aStep({ id: "6", code: "charge", ...done, done_at: "2026-11-25T03:00:00.000Z" });

  const lines = doneToday(visit, { view: aJobView({ steps: [late, before] }) });

  expect(lines.map((line) => line.code)).toEqual(["count"]);
});

test("what is not done says why: gated, failed, or simply left", () => {
  const plan = aPlan([
    aGroup({ code: "test_run", state: "gated", why: [{ kind: "issue", id: "leak" }] }),
    aGroup({ code: "supply", state: "failed", total: 3 }),
    aGroup({ code: "addresses", state: "partly", done: 6, total: 22 }),
    aGroup({ code: "charge", who: "contractor" }),
  ]);

  expect(notDone({ view, plan }).map((line) => [line.code, line.shape, line.words])).toEqual([
    ["test_run", "gated", "Stopped by issue 4, contractor."],
    ["supply", "fail", "Failed, to be done again."],
    ["addresses", "todo", "16 of 22 left."],
  ]);
  expect(summaryOf(visit, { view, plan })).toMatchObject({
    done: [{ system_id: "s1", code: "addresses", count: 2 }],
    not_done: [{ state: "gated" }, { state: "failed" }, { state: "partly" }],
    issues_open: 1,
  });
});

test("of a step that is partly open what is left comes first, then what stops the rest", () => {
  const group = { state: "partly", done: 10, total: 35, stopped_units: ["L1-03"] } as const;
  const plan = aPlan([
    aGroup({ code: "power", ...group, why: [{ kind: "issue", id: "leak" }] } as never),
  ]);

  const [power] = notDone({ view, plan });

  expect(power?.shape).toBe("todo");
  expect(power?.words).toBe("25 of 35 left. 1 unit is stopped. Stopped by issue 4, contractor.");
});

test("a reading that settled nothing says what would have", () => {
  const step = aStep({ id: "6", code: "supply", unit_id: "M4" });
  const reading = {
    id: "r1",
    calculation: "supply_power",
    unit_id: "M4",
    step_id: "6",
    verdict: "unclear",
    outputs: { verdict: "unclear", reasons: [{ code: "rotation_not_measured", values: {} }] },
    replaces_id: null,
    made_rev: 1,
  } as never;
  const here = aJobView({ units: [aUnit({ id: "M4", tag: "M4" })], steps: [step] });
  const site = { ...here, readings: [reading] };
  const plan = aPlan([aGroup({ code: "supply", state: "doable", total: 1 })]);

  const [supply] = notDone({ view: site, plan });

  expect(supply?.words).toBe("1 of 1 left. M4 unclear: rotation not measured.");
});
