import { expect, test } from "vitest";
import { failureWords } from "./failure";

test("what is too much for one change is said with its limit", () => {
  const words = failureWords({ ok: false, code: "invalid", fields: { size: "too_long" } });

  expect(words).toContain("1 MB");
});

test("of what broke off it is said that nothing is lost", () => {
  expect(failureWords({ ok: false, code: "broken_off" })).toBe(
    "It could not be saved. What you typed is kept here.",
  );
});
