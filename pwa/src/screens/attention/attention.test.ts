import { expect, test } from "vitest";
import type { JobView } from "../../queries/job";
import type { TextKey } from "../../text";
import { aJobView, aStep } from "../parts/job-view.builder";
import { mendableFields, whatKey, whyKey } from "./attention-words";
import { placeOfRow, twoValuesOf } from "./two-values";

const hasText = (id: string): id is TextKey =>
  ["attention.what.issue_answer", "attention.why.visit_closed"].includes(id);

test("only what a person wrote can be mended here", () => {
  expect(mendableFields({ words: "Brazed.", fixed: true, promised_on: null })).toEqual(["words"]);
});

test("a change or a reason without a sentence falls back to a plain one", () => {
  expect(whatKey("issue.answer", { hasText })).toBe("attention.what.issue_answer");
  expect(whatKey("future.thing", { hasText })).toBe("attention.what.other");
  expect(whyKey("visit_closed", { hasText })).toBe("attention.why.visit_closed");
  expect(whyKey("unheard_of", { hasText })).toBe("attention.why.other");
});

test("a field with two values brings both, and rows without are left out", () => {
  const other = { value: "Corridor", by_name: "Ben", at: "2026-11-25T09:00:00.000Z" };
  const view = {
    issues: [{ id: "issue", words: "x" }],
    units: [
      { id: "unit", place: "Hall", two_values: { place: other } },
      { id: "noise", two_values: {} },
    ],
    steps: [],
  } as unknown as JobView;

  expect(twoValuesOf(view)).toEqual([
    { table: "unit", id: "unit", field: "place", now: "Hall", other },
  ]);
});

test("a step with two values leads to its unit, or to the job when it has none", () => {
  const other = { value: "failed", by_name: "Ben", at: "2026-11-25T09:00:00.000Z" };
  const two_values = { state: other };
  const view = aJobView({
    steps: [
      aStep({ id: "1", code: "addresses", unit_id: "L1-03", two_values }),
      aStep({ id: "2", code: "charge", two_values }),
    ],
  });

  const places = twoValuesOf(view).map((two) => placeOfRow(two, { view }));

  expect(places).toEqual(["/job/job/unit/L1-03", "/job/job"]);
});
