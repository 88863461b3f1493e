import { expect, test } from "vitest";
import type { SystemRow, UnitRow } from "../../../../local/rows";
import type { JobView } from "../../../../queries/job";
import "../../../../text/checks";
import { aUnit } from "../../../parts/job-view.builder";
import { emptyDraft, valuesOf } from "../../../parts/reading/entry";
import type { Where } from "../../../parts/reading/useReading";
import { lineFields, lineInputs, linesOfSheet } from "./lines";

const at = (units: UnitRow[]): Where => ({
  view: { units } as unknown as JobView,
  system: { id: "s1" } as SystemRow,
  unit: undefined,
  step: undefined,
});
const UNITS = [
  aUnit({ id: "L1-01", line_size: "3/8 coil", line_length_m: 12.5 }),
  aUnit({ id: "J-1", kind: "joint", line_size: "5/8 hard", line_length_m: 40 }),
  aUnit({ id: "J-2", kind: "joint" }),
  aUnit({ id: "B1", kind: "branch_box" }),
  aUnit({ id: "K1-01", system_id: "s2", line_size: "3/8 coil", line_length_m: 3 }),
];

test("sizes and lengths of the sheet need not be typed again", () => {
  const draft = { ...emptyDraft({ lines: [] }), ...linesOfSheet(at(UNITS)) };
  const fields = draft.own.lines.flatMap((line, index) => lineFields(line, { index }));

  expect(lineInputs(valuesOf(fields, { draft }), draft)).toEqual({
    lines: [
      { size: "", length_m: undefined },
      { size: "3/8 coil", length_m: 12.5 },
      { size: "5/8 hard", length_m: 40 },
    ],
  });
});

test("a joint is a place that a line leads to only where the sheet says how long it is", () => {
  const { own } = linesOfSheet(at(UNITS));

  expect(own.lines.map(({ label }) => label)).toEqual(["To B1", "To L1-01", "To J-1"]);
});
