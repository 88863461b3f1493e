import { expect, test } from "vitest";
import type { ReadingRow } from "../../../../local/rows";
import { type Hold, type Point, pointsOf } from "../../../../queries/holds";
import { editOf, othersOf, pathFor } from "./edit";
import { filledAt, recordOf, setupOf, withPoint } from "./record";

const aPoint = (at: string, kpa: number): Point => ({
  id: at,
  at: `2026-11-25T${at}:00.000Z`,
  clock: "phone",
  by: "Ben",
  si: { gauge_pa: kpa * 1000 },
  typed: { gauge_pa: { text: String(kpa), unit: "kPa" } },
});
const SETUP = { si: { volume_m3: 0.06 }, typed: { volume_m3: { text: "60", unit: "L" } } };
const FIRST = aPoint("14:00", 3300);
const LAST = aPoint("18:00", 3290);

/** The recorded row that a phone gets back. */
function rowOf(points: Point[]): ReadingRow {
  const taken_at = points.at(-1)?.at ?? "";
  return { ...recordOf(points, SETUP), id: "row", taken_at, by_name: "Dee" } as ReadingRow;
}

test("seconds count from the first reading, in whatever order they were typed", () => {
  const { inputs } = recordOf([LAST, FIRST], SETUP);

  expect(inputs).toEqual({
    volume_m3: 0.06,
    readings: [
      { t_s: 0, gauge_pa: 3_300_000 },
      { t_s: 14_400, gauge_pa: 3_290_000 },
    ],
  });
});

test("what is recorded comes back as it was: readings, moments, who, and what was set up", () => {
  const row = rowOf([FIRST, LAST]);

  expect(pointsOf(row)).toEqual([FIRST, LAST]);
  expect(setupOf({ tip: row })).toEqual(SETUP);
});

test("when it was filled is a moment: counted from another first reading it reads anew", () => {
  const typed = { filled_ago_s: { text: "5", unit: "min" }, volume_m3: { text: "60", unit: "L" } };

  const moved = filledAt(-180, { si: { filled_t_s: -300, volume_m3: 0.06 }, typed });

  expect(moved).toEqual({
    si: { filled_t_s: -180, volume_m3: 0.06 },
    typed: { filled_ago_s: { text: "3", unit: "min" }, volume_m3: { text: "60", unit: "L" } },
  });
});

test("why a hold was ended is not set up for the next one", () => {
  const row = rowOf([FIRST]);
  row.entered["ended"] = { text: "The hose burst.", unit: "" };

  expect(setupOf({ tip: row })).toEqual(SETUP);
});

test("a reading from the paper falls into its place, a corrected one keeps its own", () => {
  const paper = aPoint("15:00", 3299);
  const mended = { ...LAST, si: { gauge_pa: 3_291_000 } };

  expect(withPoint([FIRST, LAST], paper)).toEqual([FIRST, paper, LAST]);
  expect(withPoint([FIRST, LAST], mended)).toEqual([FIRST, mended]);
});

test("what is done stands in the address, and the hold is looked at without it", () => {
  const hold = { points: [FIRST, LAST] } as Hold;
  const base = "/job/j/check/pressure_hold?system=s1&from=step";

  expect(editOf({}, undefined).kind).toBe("begin");
  expect(editOf({}, hold).kind).toBe("look");
  const correct = editOf({ do: "correct", point: LAST.id }, hold);
  expect(othersOf(correct)).toEqual([FIRST]);
  expect(editOf({ do: "correct", point: "gone" }, hold).kind).toBe("look");
  const address = pathFor(base, { to: "correct", point: LAST });
  expect(new URLSearchParams(address.split("?")[1]).get("point")).toBe(LAST.id);
  expect(pathFor(address)).toBe(base);
});
