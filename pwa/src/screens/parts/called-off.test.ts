import { beforeEach, expect, test } from "vitest";
import type { VisitRow } from "../../local/rows";
import { benWithAPhone } from "../../testing/phone";
import { FakeServer } from "../../testing/server";
import { calledOffWords } from "./called-off";
import { aVisit } from "./job-view.builder";

const zone = "America/Chicago";
const now_s = Date.parse("2026-11-25T15:00:00Z") / 1000;
let mine: Partial<VisitRow>;

beforeEach(async () => {
  const ben = await benWithAPhone(new FakeServer());
  mine = { person_id: ben.who.principal_id, state: "cancelled" };
});

const told = (...visits: Partial<VisitRow>[]) =>
  calledOffWords(visits.map(aVisit), { zone, now_s });

test("a visit of today or later that was called off is told to whoever was to make it, the next first", () => {
  const later = { ...mine, starts_at: "2026-12-03T13:00:00.000Z" };

  expect(told(later, mine)).toBe("Called off: today · Part one, controls");
  expect(told(later)).toMatch(/^Called off: .*3/);
});

test("one of another person, one that stands and one of a day gone by are not told", () => {
  const past = { ...mine, starts_at: "2026-11-24T13:00:00.000Z" };

  expect(told({ ...mine, person_id: "dee" }, { ...mine, state: "planned" }, past)).toBeNull();
});
