import { expect, test } from "vitest";
import "../../../../text/checks";
import { leftWords } from "./left-words";

const NOW = { now_s: Date.parse("2026-11-26T18:00:00Z") / 1000, zone: "America/Chicago" };
const left = (left_s: number | null) => leftWords({ elapsed_s: 600, left_s, isDue: false }, NOW);

test("a time that somebody can wait for is told with its day", () => {
  expect(left(2 * 3600)).toContain("Thu Nov 26, 14:00");
});

test("while the gas settles nothing is promised but the time of the next reading", () => {
  const words = leftWords(
    { elapsed_s: 0, left_s: 300, isDue: false },
    { ...NOW, isSettling: true },
  );

  expect(words).toMatch(/^The gas settles for 5.min more: read again at about Thu Nov 26, 12:05/);
});

test("nobody is sent away for a year: better instruments are named instead of a day", () => {
  expect(left(287 * 86_400)).toMatch(/^Time alone would take 287.days.*finer/);
  expect(left(287 * 86_400)).not.toContain("read again at");
});

test("where time settles nothing, none is told", () => {
  expect(left(null)).toBeNull();
});
