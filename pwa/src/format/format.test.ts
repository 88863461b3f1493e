import { expect, test } from "vitest";
import { decimalSeparator, parseEntry } from "./entry";
import { formatNumber, formatQuantity } from "./number";
import {
  daysFrom,
  formatDay,
  formatDayTime,
  formatDuration,
  formatNearDay,
  formatTime,
} from "./time";

const chicago = { zone: "America/Chicago", locale: "en-GB" };

test("a number is rounded once, for the eye, and keeps its unit on the line", () => {
  const shown = formatQuantity(1.086957, { digits: 2, unit: "%", locale: "en-GB" });

  expect(shown).toBe("1.09\u00a0%");
});

test("a German phone shows and types a comma", () => {
  expect(formatNumber(462.5, { digits: 1, locale: "de-DE" })).toBe("462,5");
  expect(decimalSeparator("de-DE")).toBe(",");
  expect(decimalSeparator("en-US")).toBe(".");
});

test("nothing is shown for what is not a number, and minus zero is zero", () => {
  expect(formatNumber(Number.NaN)).toBe("–");
  expect(formatNumber(undefined)).toBe("–");
  expect(formatNumber(-0.001, { digits: 1, locale: "en-GB" })).toBe("0.0");
});

test("what was typed is read with a point or a comma, and words are no number", () => {
  expect(parseEntry(" 462,5 ")).toBe(462.5);
  expect(parseEntry("-0.5")).toBe(-0.5);
  expect(parseEntry(".5")).toBe(0.5);
  expect(parseEntry("1,250", "en-US")).toBeNull();
  expect(parseEntry("1,250", "de-DE")).toBe(1.25);
  expect(parseEntry("460V")).toBeNull();
  expect(parseEntry("1.2.3")).toBeNull();
  expect(parseEntry("")).toBeNull();
});

test("a visit shows the day and the hour of the site, not of the phone", () => {
  const at = "2026-11-27T04:30:00.000Z";

  expect(formatDay(at, chicago)).toBe("Thu 26 Nov");
  expect(formatTime(at, chicago)).toBe("22:30");
  expect(formatDayTime(1795754400, chicago)).toBe("Thu 26 Nov, 22:40");
});

test("a promised date is a day, the same everywhere", () => {
  expect(formatDay("2026-12-01", { zone: "Pacific/Auckland", locale: "en-GB" })).toBe("Tue 1 Dec");
});

test("near days are said as people say them", () => {
  const now = "2026-11-25T18:00:00.000Z";

  expect(formatNearDay("2026-11-25", { ...chicago, now })).toBe("today");
  expect(formatNearDay("2026-11-26", { ...chicago, now })).toBe("tomorrow");
  expect(formatNearDay("2026-11-30", { ...chicago, now })).toBe("Mon 30 Nov");
  expect(daysFrom("2026-11-20", { to: now, zone: chicago.zone })).toBe(5);
});

test.each([
  [60, "5\u00a0min"],
  [1500, "25\u00a0min"],
  [3300, "55\u00a0min"],
  [3590, "1\u00a0h"],
  [3600, "1\u00a0h"],
  [80 * 60, "1\u00a0h\u00a015\u00a0min"],
  [3 * 3600, "3\u00a0h"],
  [9100, "2\u00a0h\u00a030\u00a0min"],
  [24 * 3600, "24\u00a0h"],
  [5 * 86400, "5\u00a0days"],
])("%s seconds of work are %s", (seconds, words) => {
  expect(formatDuration(seconds)).toBe(words);
});
