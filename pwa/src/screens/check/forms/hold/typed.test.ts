import { expect, test } from "vitest";
import type { ReadingRow } from "../../../../local/rows";
import type { Hold, Point } from "../../../../queries/holds";
import { aJobView } from "../../../parts/job-view.builder";
import { emptyDraft } from "../../../parts/reading/entry";
import { PRESSURE } from "./pressure";
import { recordOf } from "./record";
import { type Typed, typedRecord } from "./typed";

const aPoint = (at: string): Point => ({
  id: at,
  at: `2026-11-25T${at}:00.000Z`,
  clock: "phone",
  by: "Ben",
  si: { gauge_pa: 3_300_000, temperature_c: 20 },
  typed: {
    gauge_pa: { text: "3300", unit: "kPa" },
    temperature_c: { text: "20", unit: "°C" },
  },
});
const SETUP = {
  si: { volume_m3: 0.06, filled_t_s: -600 },
  typed: { filled_ago_s: { text: "10", unit: "min" }, altitude_m: { text: "500", unit: "m" } },
};
const POINTS = [aPoint("14:00"), aPoint("18:00")];
const hold = { tip: recordOf(POINTS, SETUP) as unknown as ReadingRow, points: POINTS } as Hold;

/** One more reading of the hold, typed from paper. */
const typedAt = (at: string, air_pa: number | null): Typed => ({
  edit: { kind: "add", hold },
  kind: PRESSURE,
  values: { "readings[new].gauge_pa": 3_301_000, "readings[new].temperature_c": 20 },
  draft: {
    ...emptyDraft({ times: {} }),
    typed: {
      "readings[new].gauge_pa": { text: "3301", unit: "kPa", shown: "kPa" },
      "readings[new].temperature_c": { text: "20", unit: "°C", shown: "°C" },
    },
  },
  view: aJobView({}),
  moment: { at: `2026-11-25T${at}:00.000Z`, clock: "typed" },
  barometerAt: () => air_pa,
});

test("an earlier reading from paper does not move the end of filling with it", () => {
  const record = typedRecord(typedAt("13:56", 95_000));

  expect(record?.inputs).toMatchObject({ filled_t_s: -360, volume_m3: 0.06 });
  expect(record?.inputs["readings"]).toMatchObject([{ t_s: 0 }, { t_s: 240 }, { t_s: 14_640 }]);
  expect(record?.entered["filled_ago_s"]).toEqual({ text: "6", unit: "min" });
});

test("what two phones wrote counts filling from the first reading of the one that tells it", () => {
  const merged = { ...hold, points: [aPoint("13:56"), ...POINTS] };
  const { draft, ...rest } = typedAt("20:00", 95_000);

  const record = typedRecord({ ...rest, draft, edit: { kind: "add", hold: merged } });

  expect(record?.inputs["filled_t_s"]).toBe(-360);
});

test("a later one leaves it as it was typed", () => {
  const record = typedRecord(typedAt("20:00", 95_000));

  expect(record?.inputs["filled_t_s"]).toBe(-600);
  expect(record?.entered["filled_ago_s"]).toEqual({ text: "10", unit: "min" });
});

test("nothing is judged at sea level while the air of an altitude is worked out", () => {
  expect(typedRecord(typedAt("20:00", null))).toBeNull();
});
