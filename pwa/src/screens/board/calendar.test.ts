import { expect, test } from "vitest";
import { columnAt, minutesOf, workedUntil, workingDays } from "./calendar";

const week = new Set([1, 2, 3, 4, 5]);
const shift = { from: minutesOf("08:00"), to: minutesOf("16:00") };

test("the board starts today and leaves out the days nobody works", () => {
  const days = workingDays("2026-11-26", { shiftDays: week, count: 4 });

  expect(days).toEqual(["2026-11-26", "2026-11-27", "2026-11-30", "2026-12-01"]);
});

test("a Saturday has a column when one job works on Saturdays", () => {
  const days = workingDays("2026-11-27", { shiftDays: new Set([...week, 6]), count: 3 });

  expect(days).toEqual(["2026-11-27", "2026-11-28", "2026-11-30"]);
});

test("the middle of the shift is the middle of its column, in the zone of the site", () => {
  const days = ["2026-11-25", "2026-11-26"];

  const noon = columnAt(Date.parse("2026-11-26T18:00:00Z"), {
    days,
    zone: "America/Chicago",
    shift,
  });

  expect(noon).toBeCloseTo(1.5);
});

test("the shift fills four fifths of its column and the night the rest", () => {
  const calendar = { days: ["2026-11-25"], zone: "UTC", shift };

  const start = columnAt(Date.parse("2026-11-25T08:00:00Z"), calendar);
  const end = columnAt(Date.parse("2026-11-25T16:00:00Z"), calendar);
  const midnight = columnAt(Date.parse("2026-11-25T00:00:00Z"), calendar);

  expect([midnight, start, end]).toEqual([0, expect.closeTo(0.1), expect.closeTo(0.9)]);
});

test("a weekend without columns falls on the edge before Monday, and later than all falls on the end", () => {
  const calendar = { days: ["2026-11-27", "2026-11-30"], zone: "UTC", shift };

  expect(columnAt(Date.parse("2026-11-28T12:00:00Z"), calendar)).toBe(1);
  expect(columnAt(Date.parse("2026-12-24T12:00:00Z"), calendar)).toBe(2);
});

test("a visit longer than its shift goes on the next working day", () => {
  const calendar = { days: ["2026-11-27", "2026-11-30", "2026-12-01"], zone: "UTC", shift };
  const start = Date.parse("2026-11-27T12:00:00Z");

  const end = workedUntil(start, { seconds: 14 * 3600, calendar });

  expect(new Date(end).toISOString()).toBe("2026-12-01T10:00:00.000Z");
});

test("a visit at night is one stretch, whatever the shift", () => {
  const calendar = { days: ["2026-11-27"], zone: "UTC", shift };
  const start = Date.parse("2026-11-27T20:00:00Z");

  expect(workedUntil(start, { seconds: 3600, calendar }) - start).toBe(3_600_000);
});
