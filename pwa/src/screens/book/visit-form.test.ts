import { expect, test } from "vitest";
import type { JobPlan } from "../../trade/types";
import { aVisit } from "../parts/job-view.builder";
import {
  changesIn,
  doubtsAbout,
  formOf,
  hoursFor,
  proposedVisit,
  type VisitForm,
  visitProblems,
} from "./visit-form";

const seconds = (iso: string) => Date.parse(iso) / 1000;
const nowS = seconds("2026-11-25T12:00:00Z");
const shift = { zone: "America/Chicago", from: "07:00", to: "15:30" };

function aForm(parts: Partial<VisitForm> = {}): VisitForm {
  return {
    purpose: "part_two",
    day: "2026-12-01",
    start: "07:00",
    hours: 6,
    personId: "ben",
    note: "",
    ...parts,
  };
}

const plan = {
  visit_start_at: seconds("2026-12-01T13:00:00Z"),
  visit_s: { low: 7200, likely: 19_800, high: 36_000 },
  ready_at_best: seconds("2026-11-27T16:00:00Z"),
  ready_at: seconds("2026-11-30T16:00:00Z"),
} as JobPlan;

test("a proposal is told on the clock of the site and rounded up to bookable hours", () => {
  expect(proposedVisit(plan, shift)).toEqual({ day: "2026-12-01", start: "07:00", hours: 6 });
});

test("work longer than a day is booked as the longest visit there is", () => {
  expect(hoursFor(100 * 3600)).toBe(40);
});

test("the proposal itself raises no doubt", () => {
  expect(doubtsAbout(aForm(), { plan, shift, nowS })).toEqual([]);
});

test("a site that is ready now is proposed for the next quarter of an hour and raises no doubt", () => {
  const at = seconds("2026-11-25T15:51:40Z");
  const ready = { ...plan, visit_start_at: at, ready_at_best: at, ready_at: at };

  const proposed = proposedVisit(ready, shift);
  const typed = aForm({ day: "2026-11-25", start: "09:51" });

  expect(proposed).toEqual({ day: "2026-11-25", start: "10:00", hours: 6 });
  expect(doubtsAbout(typed, { plan: ready, shift, nowS: at })).toEqual([]);
});

test("a visit before the site can be ready is doubted, more sharply before the best day", () => {
  expect(doubtsAbout(aForm({ day: "2026-11-26" }), { plan, shift, nowS })).toEqual(["before_best"]);
  expect(doubtsAbout(aForm({ day: "2026-11-28" }), { plan, shift, nowS })).toEqual([
    "before_likely",
  ]);
});

test("an hour outside the shift and too short a visit are doubted", () => {
  const doubts = doubtsAbout(aForm({ start: "17:00", hours: 2 }), { plan, shift, nowS });

  expect(doubts).toEqual(["off_shift", "too_short"]);
});

test("a visit needs a day that has not passed, a start and a technician", () => {
  const problems = visitProblems(aForm({ day: "2026-11-24", start: "", personId: "" }), {
    today: "2026-11-25",
  });

  expect(Object.keys(problems)).toEqual(["day", "start", "personId"]);
  expect(problems.day).toBe("new_job.field.past");
});

const booked = aVisit({ note: "Key at the desk", planned_s: 5 * 3600 + 60 });

test("a booked visit fills in the form that would have booked it, on the clock of the site", () => {
  expect(formOf(booked, shift)).toEqual({
    purpose: "part_one",
    day: "2026-11-25",
    start: "07:00",
    hours: 6,
    personId: "ben",
    note: "Key at the desk",
  });
});

test("of a change only what was touched is sent, also where a length fits no line of the form", () => {
  const from = formOf(booked, shift);
  const changed = (parts: Partial<VisitForm>) =>
    changesIn({ ...from, ...parts }, { from, zone: shift.zone });

  expect(changed({})).toEqual({});
  expect(changed({ day: "2026-12-02" })).toEqual({ starts_at: "2026-12-02T13:00:00.000Z" });
  expect(changed({ personId: "dee", note: " " })).toEqual({ person_id: "dee", note: null });
  expect(changed({ hours: 2, purpose: "follow_up" })).toEqual({
    planned_s: 7200,
    purpose: "follow_up",
  });
});
