import { expect, test } from "vitest";
import { goneWords } from "./LiveLost";

const at = "2026-11-27T16:53:00.000Z";
const of = (name: string, changes: number) => ({
  principal_id: name,
  name,
  changes,
  photos: 0,
  drafts: 0,
  at,
});
const starts = (lost: { tallies: ReturnType<typeof of>[]; is_unknown: boolean }) =>
  goneWords({ at, ...lost }).map((words) => words.replace(/ \(.*?\)/, "").slice(0, 48));

test("each who lost something is named", () => {
  expect(
    starts({ tallies: [of("Ben", 2), of("Ana", 0), of("Lee", 1)], is_unknown: false }),
  ).toEqual([
    "Not sent when this was last noted, of Ben: 2 cha",
    "Not sent when this was last noted, of Lee: 1 cha",
  ]);
});

test("nothing is said to be lost only where that is known of everybody", () => {
  expect(starts({ tallies: [of("Ben", 0)], is_unknown: false })).toEqual([
    "When this was last noted, everything had been se",
  ]);
  expect(starts({ tallies: [of("Ben", 0)], is_unknown: true })).toEqual([
    "Whether something had not been sent cannot be to",
  ]);
  expect(starts({ tallies: [of("Ben", 2)], is_unknown: true })).toHaveLength(2);
  expect(starts({ tallies: [], is_unknown: true })).toHaveLength(1);
});
