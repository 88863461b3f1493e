import { expect, test } from "vitest";
import { t } from "../../text";
import { aGroup, aJobView, anIssue, aPlan, aStep } from "./job-view.builder";
import { asksWhy, gateCautions } from "./step-gate";

const free = aGroup({ code: "addresses", stopped_units: ["L1-03"], state: "partly" });
const gated = aGroup({ code: "charge", state: "gated" });
const step = (unit_id: string) => aStep({ id: unit_id, code: "addresses", unit_id });

test("an open step is marked done by one press; only a gated one asks why", () => {
  expect(asksWhy(step("L1-01"), { group: free, state: "done" })).toBe(false);
  expect(asksWhy(step("L1-01"), { group: free, state: "failed" })).toBe(false);
  expect(asksWhy(step("L1-03"), { group: free, state: "done" })).toBe(true);
  expect(asksWhy(step("L1-01"), { group: gated, state: "failed" })).toBe(true);
});

test("what does not apply always says why, and taking a mark back never does", () => {
  const done = { ...step("L1-03"), state: "done" as const };

  expect(asksWhy(step("L1-01"), { group: free, state: "not_applicable" })).toBe(true);
  expect(asksWhy(done, { group: gated, state: "todo" })).toBe(false);
});

test("a gate that opens the circuit or waits for the hold warns of pressure", () => {
  const hold = aGroup({ code: "pressure_hold" });
  const leak = aGroup({ code: "charge", state: "gated", root_issues: ["leak"] });
  const unheld = aGroup({ code: "evacuation", why: [{ kind: "step", id: hold.id }] });
  const dark = aGroup({ code: "count", state: "gated", root_issues: ["dark"] });
  const view = aJobView({
    issues: [anIssue({ id: "leak" }), anIssue({ id: "dark", opens_circuit: false })],
  });
  const of = { view, plan: aPlan([hold, leak, unheld, dark]) };

  expect(gateCautions(leak, of)).toEqual([t("caution.pressure")]);
  expect(gateCautions(unheld, of)).toEqual([t("caution.pressure")]);
  expect(gateCautions(dark, of)).toEqual([]);
});
