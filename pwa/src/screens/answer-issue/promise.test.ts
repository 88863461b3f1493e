import { expect, test } from "vitest";
import { EMPTY_ANSWER, problemOf, quickDays } from "./promise";

const today = "2026-11-25";

test("today is the day at the site, not at the phone", () => {
  const lateEvening = Date.parse("2026-11-26T03:00:00Z");

  const quick = quickDays(lateEvening, { zone: "America/Chicago" });

  expect(quick.map((day) => day.date)).toEqual([
    "2026-11-25",
    "2026-11-26",
    "2026-11-27",
    "2026-12-02",
  ]);
});

test("an answer says whether it is fixed, and in words what was done", () => {
  expect(problemOf(EMPTY_ANSWER, { today })?.field).toBe("fixed");
  expect(problemOf({ ...EMPTY_ANSWER, fixed: true, words: "  " }, { today })?.field).toBe("words");
  expect(problemOf({ ...EMPTY_ANSWER, fixed: true, words: "Brazed." }, { today })).toBeNull();
});

test("what is not fixed yet needs a promised date that is not in the past", () => {
  const notYet = { words: "Fitting is on order.", fixed: false };

  expect(problemOf({ ...notYet, promisedOn: "" }, { today })?.code).toBe("promise_missing");
  expect(problemOf({ ...notYet, promisedOn: "2026-11-24" }, { today })?.code).toBe("promise_past");
  expect(problemOf({ ...notYet, promisedOn: today }, { today })).toBeNull();
});
