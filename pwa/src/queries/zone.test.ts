import { expect, test } from "vitest";
import { zoneAhead } from "./zone";

const at = (iso: string) => Date.parse(iso) / 1000;

test("a site in Berlin in November changes its clock once in the next 120 days, if at all", () => {
  const zone = zoneAhead("Europe/Berlin", at("2026-11-25T09:00:00Z"));

  expect(zone).toEqual({ utc_offset_s: 3600, changes: [] });
});

test("the change to summer time is found to the second", () => {
  const zone = zoneAhead("America/Chicago", at("2027-02-01T12:00:00Z"));

  expect(zone).toEqual({
    utc_offset_s: -21_600,
    changes: [{ at_s: at("2027-03-14T08:00:00Z"), utc_offset_s: -18_000 }],
  });
});

test("a zone with half an hour is no trouble", () => {
  expect(zoneAhead("Asia/Kolkata", at("2026-01-01T00:00:00Z")).utc_offset_s).toBe(19_800);
});
