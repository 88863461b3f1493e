import { expect, test } from "vitest";
import { aJobView, anIssue, aStep } from "../screens/parts/job-view.builder";
import type { JobChance, JobPlan } from "../trade/types";
import { chanceInput, withChance } from "./chance";

const ONE = [aStep({ id: "a", code: "joints" }), aStep({ id: "b", code: "supply" })];
const ISSUES = [anIssue({ id: "x" }), anIssue({ id: "y", number: 5 })];
const at = (iso: string) => ({ at: null, now_ms: Date.parse(iso) });

test("two phones with the same rows ask the same within a quarter of an hour", () => {
  const one = aJobView({ steps: ONE, issues: ISSUES });
  const other = aJobView({ steps: ONE.toReversed(), issues: ISSUES.toReversed() });

  const asked = chanceInput(one, at("2026-11-25T14:01:00Z"));
  const elsewhere = chanceInput(other, at("2026-11-25T14:14:59Z"));
  const later = chanceInput(one, at("2026-11-25T14:15:00Z"));

  expect(JSON.stringify(elsewhere)).toBe(JSON.stringify(asked));
  expect(later.now).toBe(asked.now + 900);
});

test("the day of 8 chances in 10 is never before the best, and unknown until it is worked out", () => {
  const plan = { ready_at_best: 1000 } as JobPlan;

  expect(withChance(plan, undefined).ready_at_p80).toBeNull();
  expect(withChance(plan, { ready_at_p80: 940 } as JobChance).ready_at_p80).toBe(1000);
  expect(withChance(plan, { ready_at_p80: 5000 } as JobChance).ready_at_p80).toBe(5000);
});
