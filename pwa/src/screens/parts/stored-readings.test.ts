import { expect, test } from "vitest";
import type { ReadingRow } from "../../local/rows";
import type { JobView } from "../../queries/job";
import { aStep } from "./job-view.builder";
import { readingsOfSteps } from "./stored-readings";

const aReading = (id: string, step_id: string | null): ReadingRow =>
  ({ id, step_id, replaces_id: null, taken_at: "2026-11-25T14:00:00.000Z" }) as ReadingRow;

test("a step shows its own readings, and none that belong to no step", () => {
  const step = aStep({ id: "hold", code: "pressure_hold", reading_id: null });
  const readings = [aReading("own", "hold"), aReading("figure", null), aReading("other", "count")];

  const shown = readingsOfSteps([step], { view: { readings } as unknown as JobView });

  expect(shown.map((one) => one.id)).toEqual(["own"]);
});
