import { expect, test } from "vitest";
import { addDays, daysBetween, instantAt, timeOfDay, wallClock, weekdayOf } from "./zoned";

test("a site in Chicago shows its own morning while London has afternoon", () => {
  const at = Date.parse("2026-11-25T13:30:00Z");

  const clock = wallClock(at, { zone: "America/Chicago" });

  expect(clock).toEqual({ date: "2026-11-25", minutes: 7 * 60 + 30 });
});

test("seven o'clock at the site survives the night the clocks change", () => {
  const zone = "America/Chicago";

  const before = instantAt("2026-10-31", { time: "07:00", zone });
  const after = instantAt("2026-11-01", { time: "07:00", zone });

  expect(new Date(before).toISOString()).toBe("2026-10-31T12:00:00.000Z");
  expect(new Date(after).toISOString()).toBe("2026-11-01T13:00:00.000Z");
});

test("days are counted on the calendar and weeks start on Monday", () => {
  expect(addDays("2026-02-27", 2)).toBe("2026-03-01");
  expect(daysBetween("2026-11-23", "2026-11-25")).toBe(2);
  expect(weekdayOf("2026-11-29")).toBe(7);
  expect(timeOfDay(425)).toBe("07:05");
});
