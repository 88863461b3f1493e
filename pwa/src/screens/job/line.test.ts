import { expect, test } from "vitest";
import { aGroup, aJobView, anIssue, aPlan, aUnit } from "../parts/job-view.builder";
import { lineGroups } from "./line";

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

  const [now, contractor, gated, done] = lineGroups("s1", { view, plan });

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

  const open = lineGroups("s1", { view, plan: aPlan([reset]) });
  const again = lineGroups("s1", { view, plan: aPlan([{ ...reset, state: "done" }]) });

  expect(open[1]?.title).toBe("With Example Mechanical");
  expect(open[1]?.steps[0]?.why).toBe("Reset by issue 4: do it again.");
  expect(again[3]?.steps[0]).not.toHaveProperty("why");
});

test("another system's steps are not on this line", () => {
  const plan = aPlan([aGroup({ code: "count", system_id: "s2" })]);

  expect(lineGroups("s1", { view, plan }).flatMap((group) => group.steps)).toEqual([]);
});
