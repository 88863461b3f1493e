import { expect, test } from "vitest";
import { chanceWords, groundsOf, isHopeful } from "./sure-words";

test("a chance is told in tenths, and never as certain either way", () => {
  const told = [0, 0.049, 0.05, 0.34, 0.36, 0.8, 0.949, 0.95, 1].map((chance) =>
    chanceWords({ chance }).replace(" that the site is ready by then.", ""),
  );

  expect(told).toEqual([
    "Less than 1 in 10 chances",
    "Less than 1 in 10 chances",
    "About 1 in 10 chances",
    "About 3 in 10 chances",
    "About 4 in 10 chances",
    "About 8 in 10 chances",
    "About 9 in 10 chances",
    "More than 9 in 10 chances",
    "More than 9 in 10 chances",
  ]);
});

test("a chance is hopeful where work with no promise or a broken one is taken to begin at once", () => {
  const promised = { reasons: [{ code: "hours_spread", values: {} }] };
  const open = {
    reasons: [{ code: "no_promise", values: { issue_id: "a" } }, ...promised.reasons],
  };

  const late = { reasons: [{ code: "promise_overdue", values: {} }] };

  expect([promised, open, late].map(isHopeful)).toEqual([false, true, true]);
});

test("what holds for two issues is said once", () => {
  const reasons = ["no_promise", "no_promise", "hours_spread"].map((code, at) => ({
    code,
    values: { issue_id: at },
  }));

  expect(groundsOf({ reasons }).map((one) => one.code)).toEqual(["no_promise", "hours_spread"]);
});
