import { expect, test } from "vitest";
import "../../../text/checks";
import type { EngineError } from "../../../trade/types";
import { emptyDraft, entryFor, type Field } from "./entry";
import { calibrationDoubts, instrumentWords, written } from "./instruments";
import { problemWords } from "./problem-words";
import { reasonWords, sourceWords } from "./reason-words";
import { quantityOf, type UnitsInUse, valueWords } from "./value-words";

const IP: UnitsInUse = { system: "ip" };
const SI: UnitsInUse = { system: "si" };

test.each([
  ["superheat_k", "superheat", "temperature_difference"],
  ["saturation_c", "superheat", "temperature"],
  ["gauge_pa", "pressure_hold", "gauge_pressure"],
  ["residual_pa", "pressure_hold", "pressure_difference"],
  ["plateau_pa", "vacuum_stand", "vacuum"],
  ["barometer_pa", "superheat", "air_pressure"],
  ["leak_pa_m3_s", "vacuum_stand", "leak_rate"],
  ["smallest_room_m3", "room_limit", "room_volume"],
  ["volume_m3", "extra_charge", "volume"],
  ["concentration_kg_m3", "room_limit", "concentration"],
  ["liquid_density_kg_m3", "saturation", "density"],
  ["flow_m3_s", "air_side", "air_flow"],
  ["return_humidity_kg_kg", "air_side", "humidity"],
] as const)("%s of %s is a %s", (name, calculation, quantity) => {
  expect(quantityOf(name, { calculation })).toBe(quantity);
});

test("positions without a port are told in one sentence, be it one or several", () => {
  const of = { calculation: "port_switches", units: IP };
  const values = { box: "B1", board: 2, positions: [2, 3], source: "common practice", mark: "P" };

  expect(reasonWords({ code: "positions_absent", values }, of)).toBe(
    "B1: no port behind these positions of board 2, the last one: 2, 3. Switch out like unused ones (common practice).",
  );
});

test("a reason is a sentence in the units of the person", () => {
  const reason = {
    code: "superheat_from_dew",
    values: { superheat_k: 8.4206, saturation_c: 4.35717 },
  };
  const told = { calculation: "superheat" };

  expect(reasonWords(reason, { ...told, units: IP })).toBe(
    "15.2\u00a0°F above the dew point of 39.8\u00a0°F.",
  );
  expect(reasonWords(reason, { ...told, units: SI })).toBe(
    "8.4\u00a0K above the dew point of 4.4\u00a0°C.",
  );
});

test("what a sensor may be off is told finer than what it reads", () => {
  const values = {
    temperature_uncertainty_k: 0.25,
    wet_bulb_uncertainty_k: 0.25,
    flow_uncertainty_pct: 5,
    source: "common practice",
    mark: "P",
  };

  const words = reasonWords(
    { code: "usual_uncertainties", values },
    { calculation: "air_side", units: SI },
  );

  expect(words).toContain("dry bulb 0.25\u00a0K, wet bulb 0.25\u00a0K, air flow 5\u00a0%");
});

test("units switched on the screen win over the usual ones", () => {
  const units: UnitsInUse = { system: "ip", shown: { gauge_pressure: "bar", temperature: "°C" } };

  expect(valueWords("residual_pa", 250_000, { calculation: "pressure_hold", units })).toBe(
    "2.500\u00a0bar",
  );
  expect(valueWords("superheat_k", 8.42, { calculation: "superheat", units })).toBe("8.4\u00a0K");
});

test("a limit says where it is from, and how well that is founded", () => {
  const values = { value: 0.4, limit: 0.5, unit: "m", source: "limits sheet", mark: "M" };
  const told = { calculation: "joint_geometry", units: SI };

  expect(reasonWords({ code: "straight_after_too_short", values }, told)).toBe(
    "Straight after: 400.0\u00a0mm, and at least 500.0\u00a0mm is wanted (limits sheet; from memory, not verified).",
  );
  expect(sourceWords("common practice", { mark: "P" })).toBe("common practice");
  expect(sourceWords("NEMA MG-1", { mark: "S" })).toBe("NEMA MG-1");
});

test("a code from a newer engine is shown as it is, never hidden", () => {
  const told = { calculation: "superheat", units: IP };

  expect(reasonWords({ code: "something_new", values: {} }, told)).toBe("something new");
});

test("spans and counts are told as people say them", () => {
  const told = { calculation: "pressure_hold", units: IP };

  expect(valueWords("hold_needed_s", 61_200, told)).toBe("17\u00a0h");
  expect(valueWords("reported", 21, told)).toBe("21");
  expect(valueWords("ports", ["B1-2", "B1-3"], told)).toBe("B1-2, B1-3");
});

const gauge: Field = { name: "gauge_pa", label: "Gauge pressure", quantity: "gauge_pressure" };
const screen = {
  fields: [gauge],
  entryOf: (field: Field) => entryFor(field, { draft: emptyDraft({}), system: "ip" as const }),
  calculation: "superheat",
  units: IP,
};
const tooHigh: EngineError = {
  code: "out_of_range",
  field: "gauge_pa",
  message: "gauge_pa is outside its limits",
  limits: { low: 0, high: 4_000_000, unit: "Pa" },
};

test("a number that cannot be is told by the name on the screen, with limits in its unit", () => {
  expect(problemWords(tooHigh, screen)).toBe(
    "Gauge pressure must be from 0.0\u00a0psi to 580.2\u00a0psi.",
  );
});

test("a value that the screen works out itself has its limits in the person's unit too", () => {
  expect(problemWords({ ...tooHigh, field: "pressure_pa" }, screen)).toBe(
    "Absolute pressure must be from 0.00\u00a0psia to 580.15\u00a0psia.",
  );
});

test("an engine that did not run is no fault of the reading", () => {
  expect(problemWords({ ...tooHigh, code: "engine_failed", limits: null }, screen)).toContain(
    "What you typed is kept",
  );
});

const meter = { name: "gauge 12", range: "0-800 psi", resolution: "0.5 psi" };

test("an old calibration and none are told, and nothing is refused", () => {
  const today = "2026-11-25";
  const of = (calibrated_on: string | null) =>
    calibrationDoubts([{ ...meter, calibrated_on }], { today });

  expect(of("2026-03-01")).toEqual([]);
  expect(of("2025-11-01")[0]).toContain("more than 12 months");
  expect(of(null)).toEqual(["gauge 12: no calibration date."]);
});

test("one reading can take two instruments: both stand in the record", () => {
  const one = { ...meter, id: "a", calibrated_on: "2026-03-01" };
  const other = { ...one, id: "b", name: "thermometer 3" };

  expect(written([])).toBeNull();
  expect(written([one, other])).toEqual({
    ...meter,
    calibrated_on: "2026-03-01",
    others: [{ ...meter, name: "thermometer 3", calibrated_on: "2026-03-01" }],
  });
  expect(instrumentWords([one, other], { zone: "UTC" })).toBe(
    "Instrument: gauge 12, thermometer 3",
  );
});
