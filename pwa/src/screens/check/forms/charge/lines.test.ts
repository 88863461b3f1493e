import { expect, test } from "vitest";
import type { SystemRow, UnitRow } from "../../../../local/rows";
import "../../../../text/checks";
import { aJobView, aUnit } from "../../../parts/job-view.builder";
import { emptyDraft, valuesOf } from "../../../parts/reading/entry";
import type { Where } from "../../../parts/reading/useReading";
import { lineFields, lineInputs, linesOfSheet, OWN_SIZE, sizeOf } from "./lines";

const at = (units: UnitRow[]): Where => ({
  view: aJobView({ units }),
  system: { id: "s1" } as SystemRow,
  unit: undefined,
  step: undefined,
});
const UNITS = [
  aUnit({ id: "L1-01", parent_id: "B1", line_size: "3/8 coil", line_length_m: 12.5 }),
  aUnit({ id: "B1", kind: "branch_box", parent_id: "J-2" }),
  aUnit({ id: "J-2", kind: "joint", parent_id: "J-1" }),
  aUnit({ id: "J-1", kind: "joint", parent_id: "M1", line_size: "5/8 hard", line_length_m: 40 }),
  aUnit({ id: "M1", kind: "outdoor_module" }),
  aUnit({ id: "K1-01", system_id: "s2", line_size: "3/8 coil", line_length_m: 3 }),
];

test("sizes and lengths of the sheet need not be typed again", () => {
  const draft = { ...emptyDraft({ lines: [] }), ...linesOfSheet(at(UNITS)) };
  const fields = draft.own.lines.flatMap((line, index) => lineFields(line, { index }));

  expect(lineInputs(valuesOf(fields, { draft }), draft)).toEqual({
    lines: [
      { size: "5/8 hard", length_m: 40 },
      { size: "", length_m: undefined },
      { size: "3/8 coil", length_m: 12.5 },
    ],
  });
});

test("a joint is a place that a line leads to only where the sheet says how long it is", () => {
  const { own } = linesOfSheet(at(UNITS));

  const labels = own.lines.map(({ label }) => label);
  expect(labels.toSorted()).toEqual(["To B1", "To J-1", "To L1-01"]);
});

test("lines come in order from the outdoor module, as what is in the charge already comes off the first", () => {
  const { own } = linesOfSheet(at(UNITS));

  expect(own.lines.map(({ label }) => label)).toEqual(["To J-1", "To B1", "To L1-01"]);
});

test("a sheet that leads in a circle is still listed", () => {
  const circle = [
    aUnit({ id: "B1", kind: "branch_box", parent_id: "B2" }),
    aUnit({ id: "B2", kind: "branch_box", parent_id: "B1" }),
  ];

  expect(linesOfSheet(at(circle)).own.lines).toHaveLength(2);
});

test("a tube of its own is called by what was typed, each number with its unit where they differ", () => {
  const draft = { ...emptyDraft({ lines: [{ size: OWN_SIZE, label: "" }] }) };
  const typed = (wall: string, unit: string) => ({
    ...draft,
    typed: {
      "lines[0].outer_diameter_m": { text: "16", unit: "mm", shown: "mm" },
      "lines[0].wall_m": { text: wall, unit, shown: unit },
    },
  });

  expect(sizeOf(typed("1", "mm"), 0)).toBe("16 x 1 mm");
  expect(sizeOf(typed("0.04", "in"), 0)).toBe("16 mm x 0.04 in");
});
