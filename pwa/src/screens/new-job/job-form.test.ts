import { expect, test } from "vitest";
import type { CheckedSheet } from "../../actions/checkSheet";
import { countsByKind, emptyJob, isClean, jobProblems } from "./job-form";

function aSheet(parts: Partial<CheckedSheet> = {}): CheckedSheet {
  return {
    limits: {},
    systems: [],
    units: [{ id: "unit" } as CheckedSheet["units"][number]],
    errors: [],
    counts: {},
    ...parts,
  };
}

test("an empty form names what is missing and leaves the shift as it is", () => {
  expect(Object.keys(jobProblems(emptyJob()))).toEqual(["name", "address", "firm", "sheet"]);
});

test("a sheet with one bad row cannot be imported", () => {
  const bad = aSheet({ units: [], errors: [{ row: 7, column: "port", reason: "Port 9 of 8." }] });

  expect(isClean(bad)).toBe(false);
  expect(jobProblems({ ...emptyJob(), sheet: { file: "a.csv", checked: bad } }).sheet).toBe(
    "new_job.sheet_not_clean",
  );
});

test("a shift that ends before it starts is named, and so are no days at all", () => {
  const problems = jobProblems({ ...emptyJob(), shiftStart: "16:00", shiftDays: [] });

  expect([problems.shiftEnd, problems.shiftDays]).toEqual([
    "new_job.field.shift",
    "new_job.field.days",
  ]);
});

test("kinds are counted in the order of the pipe", () => {
  const counts = countsByKind(aSheet({ counts: { indoor_unit: 22, outdoor_module: 3, joint: 0 } }));

  expect(counts.map((one) => one.kind)).toEqual(["outdoor_module", "indoor_unit"]);
});
