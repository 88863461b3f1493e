import { expect, test } from "vitest";
import type { JobView } from "../../queries/job";
import { aGroup, aJobView, anIssue, aPlan, aUnit } from "../parts/job-view.builder";
import { lineGroups } from "./line";

const NOW_S = Date.parse("2026-11-26T02:00:00.000Z") / 1000;

const view = aJobView({
  units: [aUnit({ id: "L1-01" }), aUnit({ id: "L1-03" })],
  issues: [anIssue({ id: "leak" })],
});

test("a stopped stretch is an empty pipe, and the rest carries flow", () => {
  const plan = aPlan([
    aGroup({ code: "addresses", total: 22, done: 6, doable_units: ["L1-03"] }),
    aGroup({ code: "pressure_hold", state: "gated", why: [{ kind: "issue", id: "leak" }] }),
    aGroup({ code: "supply", state: "done", done: 3, total: 3 }),
  ]);

  const [now, contractor, gated, done] = lineGroups("s1", { view, plan, now_s: NOW_S });

  expect(now?.steps).toEqual([
    {
      id: "s1:addresses",
      name: "Set addresses",
      state: "todo",
      pipe: "open",
      count: "6 of 22",
      why: "Next on the round: L1-03, Floor 1, corridor.",
    },
  ]);
  expect(contractor?.steps).toEqual([]);
  expect(gated?.steps[0]).toMatchObject({ state: "gated", pipe: "empty" });
  expect(gated?.steps[0]?.why).toBe("Stopped by issue 4, contractor.");
  expect(done?.steps[0]).toMatchObject({ state: "done", count: "3 of 3" });
});

test("what a repair has reset says so, and only until it is done again", () => {
  const reset = aGroup({ code: "pressure_hold", who: "contractor", reset_by: ["leak"] });

  const open = lineGroups("s1", { view, plan: aPlan([reset]), now_s: NOW_S });
  const again = lineGroups("s1", {
    view,
    plan: aPlan([{ ...reset, state: "done" }]),
    now_s: NOW_S,
  });

  expect(open[1]?.title).toBe("With Example Mechanical");
  expect(open[1]?.steps[0]?.why).toBe("Reset by issue 4: do it again.");
  expect(again[3]?.steps[0]).not.toHaveProperty("why");
});

test("another system's steps are not on this line", () => {
  const plan = aPlan([aGroup({ code: "count", system_id: "s2" })]);

  expect(lineGroups("s1", { view, plan, now_s: NOW_S }).flatMap((group) => group.steps)).toEqual(
    [],
  );
});

test("a hold that runs is on the line of its step, and says when its time is over", () => {
  const reading = {
    id: "hold",
    calculation: "vacuum_stand",
    system_id: "s1",
    unit_id: null,
    inputs: { readings: [{ t_s: 0, pressure_pa: 60 }] },
    entered: {},
    outputs: { hold_left_s: 3600 },
    verdict: "unclear",
    taken_at: "2026-11-25T23:30:00.000Z",
    by_name: "Ben",
    replaces_id: null,
  } as unknown as JobView["readings"][number];
  const plan = aPlan([aGroup({ code: "standing_vacuum" }), aGroup({ code: "pressure_hold" })]);

  const held = { view: { ...view, readings: [reading] }, plan };
  const [now] = lineGroups("s1", { ...held, now_s: NOW_S });
  const [before] = lineGroups("s1", { ...held, now_s: NOW_S - 2 * 3600 });

  expect(now?.steps[0]?.why).toBe(
    "Running for 2\u00a0h\u00a030\u00a0min, 1 reading. Its time is over: take a reading.",
  );
  expect(before?.steps[0]?.why).toBe(
    "Running for 30\u00a0min, 1 reading. 30\u00a0min more can settle it.",
  );
  expect(now?.steps[1]).not.toHaveProperty("why");
});
