import { expect, test } from "vitest";
import { unitOf } from "../../../../format/units";
import { drawPressure, drawVacuum, isCut } from "./drawing";

const PSI = unitOf("gauge_pressure", { symbol: "psi" });
const KPA = unitOf("gauge_pressure", { symbol: "kPa" });
const MICRON = unitOf("vacuum", { symbol: "micron" });
const START_S = 1_795_600_000;
const HOUR_S = 3600;

const look = (hours: number, gauge_kpa: number, expected_kpa: number | null, doubt_kpa = 4) => ({
  at_s: START_S + hours * HOUR_S,
  gauge_pa: gauge_kpa * 1000,
  expected_pa: expected_kpa === null ? null : expected_kpa * 1000,
  doubt_pa: expected_kpa === null ? null : doubt_kpa * 1000,
});
const vacuum = (minutes: number, pressure_pa: number) => ({
  at_s: START_S + minutes * 60,
  pressure_pa,
});

test("no time is written where the edge of the picture would cut it off", () => {
  const drawing = drawPressure([look(0, 3300, 3300), look(10, 3300, 3300)], { unit: KPA });
  const cut = [0, 5, 9, 9.9, 10].filter((hours) => isCut(START_S + hours * HOUR_S, drawing));

  expect(cut).toEqual([9.9, 10]);
});

test("the curve of a pressure hold has the expected line with its doubt on both sides", () => {
  const drawing = drawPressure([look(0, 3300, 3300, 0), look(10, 3180, 3178.3)], { unit: KPA });

  expect(drawing.measured).toEqual([3300, 3180]);
  expect(drawing.line[1]).toBeCloseTo(3178.3, 9);
  expect(drawing.band?.low[1]).toBeCloseTo(3174.3, 9);
  expect(drawing.band?.high[1]).toBeCloseTo(3182.3, 9);
  expect(drawing.low).toBeLessThan(3174.3);
  expect(drawing.high).toBeGreaterThan(3300);
});

test("there is room for the numbers at the side: steps of 2.5 have a decimal", () => {
  const wide = drawPressure([look(0, 3792.117, 3792.117, 28)], { unit: PSI });
  const wider = drawPressure([look(0, 3792.117, 3792.117, 60)], { unit: PSI });

  expect(wide.high - wide.low).toBeGreaterThan(10);
  expect(wide.high - wide.low).toBeLessThan(12.5);
  expect(wide.axisPx - wider.axisPx).toBe(2 * 9);
});

test("it is drawn in the unit of the person", () => {
  const drawing = drawPressure([look(0, 3792.117, 3792.117)], { unit: PSI });

  expect(drawing.unit).toBe("psi");
  expect(drawing.measured[0]).toBeCloseTo(550, 2);
});

test("a hold of one reading is an hour wide, and a gauge that stands still is not at the edge", () => {
  const drawing = drawPressure([look(0, 3300, null)], { unit: KPA });

  expect(drawing.to_s - drawing.from_s).toBeGreaterThan(HOUR_S);
  expect(drawing.band?.low).toEqual([null]);
  expect(drawing.low).toBeLessThan(3299);
  expect(drawing.high).toBeGreaterThan(3301);
});

test("a vacuum has what was measured, what fits it, and its limit", () => {
  const looks = [vacuum(0, 66.7), vacuum(30, 80), vacuum(60, 93.3)];
  const fitted = [vacuum(0, 66.6), vacuum(15, 73.3), vacuum(60, 93.4)];

  const drawing = drawVacuum(looks, { fitted, limit_pa: 66.6612, water_pa: 872.6, unit: MICRON });

  expect(drawing.at_s.map((at) => (at - START_S) / 60)).toEqual([0, 15, 30, 60]);
  expect(drawing.measured[1]).toBeNull();
  expect(drawing.line[2]).toBeNull();
  expect(drawing.levels).toHaveLength(1);
  expect(drawing.levels[0]?.value).toBeCloseTo(500, 2);
});

test("water far above the curve is said, not drawn; near it is drawn", () => {
  const low = { fitted: [], limit_pa: 66.6612, unit: MICRON, water_pa: 2339 };
  const far = drawVacuum([vacuum(0, 60), vacuum(60, 70)], low);
  const near = drawVacuum([vacuum(0, 60), vacuum(60, 1500)], low);

  expect(far.beyond.map((level) => level.kind)).toEqual(["water"]);
  expect(far.high * 0.1333).toBeLessThan(200);
  expect(near.beyond).toEqual([]);
  expect(near.high).toBeGreaterThan(near.levels[1]?.value ?? Number.POSITIVE_INFINITY);
});
