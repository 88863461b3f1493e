import { expect, test } from "vitest";
import "../../../../text/checks";
import { leftWords } from "./left-words";

const NOW = { now_s: Date.parse("2026-11-26T18:00:00Z") / 1000, zone: "America/Chicago" };
const left = (left_s: number | null) => leftWords({ elapsed_s: 600, left_s, isDue: false }, NOW);

test("a time that somebody can wait for is told with its day", () => {
  expect(left(2 * 3600)).toContain("Thu Nov 26, 14:00");
});

test("nobody is sent away for a year: better instruments are named instead of a day", () => {
  expect(left(287 * 86_400)).toMatch(/^Time alone would take 287.days.*finer/);
  expect(left(287 * 86_400)).not.toContain("read again at");
});

test("where time settles nothing, none is told", () => {
  expect(left(null)).toBeNull();
});
