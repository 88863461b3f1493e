import { expect, test } from "vitest";
import type { LimitRow, ReadingRow, SystemRow } from "../../local/rows";
import {
  EMPTY_SUPPLY,
  enteredOf,
  hasVoltages,
  notNumbers,
  sameAsBefore,
  supplyInputs,
  unusualVoltage,
} from "./supply";

const system = {
  nominal_v: 460,
  unbalance_limit_pct: 2,
  supply_tolerance_pct: 8,
} as SystemRow;
const limits = [
  { name: "unbalance_limit_pct", value: 2, unit: "%", source: "common practice", mark: "P" },
  { name: "supply_tolerance_pct", value: 10, unit: "%", source: "from memory", mark: "M" },
] as LimitRow[];
const typed = {
  ...EMPTY_SUPPLY,
  text: { v_ab_v: "462", v_bc_v: "463", v_ca_v: "455,5" },
};

test("what was typed is kept as typed, and the engine gets numbers", () => {
  expect(enteredOf(typed).v_ca_v).toEqual({ text: "455,5", unit: "V" });
  expect(supplyInputs(typed, { system, limits })).toMatchObject({
    v_ca_v: 455.5,
    nominal_v: 460,
    rotation: "not_measured",
  });
});

test("a limit carries its source only while it is the one of the limits sheet", () => {
  const inputs = supplyInputs(typed, { system, limits });

  expect(inputs).toMatchObject({
    unbalance_limit_pct: 2,
    unbalance_limit_source: "common practice",
  });
  expect(inputs.tolerance_pct).toBe(8);
  expect(inputs).not.toHaveProperty("tolerance_source");
});

test("the verdict waits for three voltages that are numbers", () => {
  expect(hasVoltages(typed)).toBe(true);
  expect(hasVoltages({ ...EMPTY_SUPPLY, text: { v_ab_v: "462" } })).toBe(false);
  expect(notNumbers({ ...typed, text: { ...typed.text, v_ab_v: "46o" } })).toEqual(["v_ab_v"]);
});

test("a voltage far from nominal asks for a reason, a low one does not", () => {
  const far = { ...typed, text: { ...typed.text, v_ab_v: "230" } };

  expect(unusualVoltage(far, { nominal_v: 460 })).toBe(230);
  expect(unusualVoltage(typed, { nominal_v: 460 })).toBeUndefined();
});

test("the same as before are the numbers, never which way another module turns", () => {
  const before = { entered: enteredOf(typed), inputs: { rotation: "forward" } } as unknown;

  expect(sameAsBefore(before as ReadingRow)).toEqual({ text: typed.text });
});

test("hidden currents are not sent, even when something was typed in them", () => {
  const hidden = { ...typed, text: { ...typed.text, i_a_a: "12" } };

  expect(supplyInputs(hidden, { system, limits })).not.toHaveProperty("i_a_a");
  expect(supplyInputs({ ...hidden, currents: "shown" }, { system, limits })).toHaveProperty(
    "i_a_a",
    12,
  );
});
