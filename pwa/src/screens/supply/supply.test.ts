import { expect, test } from "vitest";
import type { LimitRow, ReadingRow, SystemRow } from "../../local/rows";
import { formOf } from "../check/forms";
import { nextUnit } from "../check/places";
import { aJobView, aUnit } from "../parts/job-view.builder";
import { repeated } from "../parts/reading/before";
import { emptyDraft, typedAnew, unusualFields } from "../parts/reading/entry";
import { type SupplyOwn, supplyFields, supplyInputs } from "./supply";

const system = {
  id: "s1",
  nominal_v: 460,
  unbalance_limit_pct: 2,
  supply_tolerance_pct: 8,
} as SystemRow;
const limits = [
  { name: "unbalance_limit_pct", value: 2, unit: "%", source: "common practice", mark: "P" },
  { name: "supply_tolerance_pct", value: 10, unit: "%", source: "from memory", mark: "M" },
] as LimitRow[];
const volts = { v_ab_v: 462, v_bc_v: 463, v_ca_v: 455.5 };
const hidden = emptyDraft<SupplyOwn>({ currents: "hidden" });

test("until the rotation is measured the engine is told so", () => {
  expect(supplyInputs(volts, { rotation: undefined, system, limits })).toMatchObject({
    v_ca_v: 455.5,
    nominal_v: 460,
    rotation: "not_measured",
  });
});

test("a limit carries its source only while it is the one of the limits sheet", () => {
  const inputs = supplyInputs(volts, { rotation: "forward", system, limits });

  expect(inputs).toMatchObject({
    unbalance_limit_pct: 2,
    unbalance_limit_source: "common practice",
  });
  expect(inputs?.["tolerance_pct"]).toBe(8);
  expect(inputs).not.toHaveProperty("tolerance_source");
});

test("without a nominal voltage there is nothing to judge by", () => {
  const unknown = { ...system, nominal_v: null };

  expect(supplyInputs(volts, { rotation: "forward", system: unknown, limits })).toBeNull();
});

test("a voltage far from nominal asks for a reason, a low one does not", () => {
  const fields = supplyFields(hidden, { nominal_v: 460 });
  const typed = (text: string) => ({
    ...hidden,
    typed: { v_ab_v: typedAnew({ text: "", unit: "V", shown: "V" }, { text }) },
  });

  expect(unusualFields(fields, { draft: typed("230") }).map((one) => one.name)).toEqual(["v_ab_v"]);
  expect(unusualFields(fields, { draft: typed("430") })).toEqual([]);
});

test("hidden currents are not among what is read, even when something was typed in them", () => {
  const names = (draft: typeof hidden) =>
    supplyFields(draft, { nominal_v: 460 }).map((field) => field.name);

  expect(names(hidden)).not.toContain("i_a_a");
  expect(names({ ...hidden, own: { currents: "shown" } })).toContain("i_a_a");
});

test("the same as before are the numbers, never which way another module turns", () => {
  const entered = {
    v_ab_v: { text: "462", unit: "V" },
    rotation: { text: "forward", unit: "" },
  };
  const fields = supplyFields(hidden, { nominal_v: 460 });

  expect(
    repeated({ entered } as unknown as ReadingRow, { names: fields.map((f) => f.name) }),
  ).toEqual({
    typed: { v_ab_v: { text: "462", unit: "V", shown: "V" } },
    picked: {},
  });
});

function modulesWith(verdicts: Record<string, string>) {
  const units = ["M1", "M2", "M3"].map((id) => aUnit({ id, kind: "outdoor_module" }));
  const view = aJobView({ units });
  view.readings = Object.entries(verdicts).map(
    ([id, verdict]) =>
      ({
        id,
        unit_id: id,
        system_id: "s1",
        calculation: "supply_power",
        verdict,
        taken_at: "2026-11-25",
        replaces_id: null,
      }) as ReadingRow,
  );
  const row = formOf("supply_power");
  if (!row) throw new Error("no such check");
  return (id: string) => nextUnit(row, { view, system, unit: view.unitById.get(id) })?.id;
}

test("after a module come those not measured yet, then those that failed, then none", () => {
  expect(modulesWith({ M1: "fail" })("M2")).toBe("M3");
  expect(modulesWith({ M1: "fail", M2: "pass", M3: "pass" })("M3")).toBe("M1");
  expect(modulesWith({ M1: "pass", M2: "pass", M3: "pass" })("M3")).toBeUndefined();
});
