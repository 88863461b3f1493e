import { expect, test } from "vitest";
import { differencesOf, haveOtherReasons } from "./differences";

const OUTPUTS = {
  mean_v: 460,
  unbalance_pct: 1.08,
  lines: [{ mass_kg: 0.5 }, { mass_kg: 0.7 }],
  verdict: "pass",
  reasons: [{ code: "within_limit", values: { value: 1.08, limit: 2 } }],
};

test("outputs that are the same to the last digit that counts have no difference", () => {
  const server_outputs = { ...OUTPUTS, mean_v: 460 * (1 + 1e-12) };

  expect(differencesOf({ outputs: OUTPUTS, server_outputs })).toEqual([]);
  expect(haveOtherReasons({ outputs: OUTPUTS, server_outputs })).toBe(false);
});

test("each field that differs is named, within lists too, and a field that only one side has", () => {
  const server_outputs = {
    ...OUTPUTS,
    mean_v: 460.001,
    lines: [{ mass_kg: 0.5 }, { mass_kg: 0.8 }],
    deviation_pct: 3,
  };

  expect(differencesOf({ outputs: OUTPUTS, server_outputs })).toEqual([
    { path: "lines[1].mass_kg", phone: 0.7, server: 0.8 },
    { path: "mean_v", phone: 460, server: 460.001 },
    { path: "deviation_pct", phone: undefined, server: 3 },
  ]);
});

test("reasons with another number or another code are other reasons", () => {
  const limit = [{ code: "within_limit", values: { value: 1.08, limit: 3 } }];
  const code = [{ code: "over_limit", values: { value: 1.08, limit: 2 } }];

  for (const reasons of [limit, code, []]) {
    expect(haveOtherReasons({ outputs: OUTPUTS, server_outputs: { ...OUTPUTS, reasons } })).toBe(
      true,
    );
  }
});
