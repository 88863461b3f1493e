import { expect, test } from "vitest";
import type { EngineError } from "../../trade/types";
import { problemWords } from "./problem-words";

const tooHigh: EngineError = {
  code: "out_of_range",
  field: "v_bc_v",
  message: "v_bc_v is outside its limits",
  limits: { low: 0, high: 1000, unit: "V" },
};

test("a number outside its limits is told by the name on the screen, with both limits", () => {
  expect(problemWords(tooHigh)).toBe("Line 2 to 3 must be from 0 to 1,000\u00a0V.");
});

test("three voltages that cannot stand together are to be read again", () => {
  expect(problemWords({ ...tooHigh, code: "contradictory" })).toBe(
    "One voltage is more than the other two together, which cannot be: read all three again.",
  );
});

test("a dead supply is told as one, not as a slip", () => {
  expect(problemWords({ ...tooHigh, code: "contradictory", limits: null })).toBe(
    'All three read 0\u00a0V: there is no supply to judge. It can be logged as an issue, "No power".',
  );
});

test("an engine that did not run is no fault of the reading", () => {
  expect(problemWords({ ...tooHigh, code: "engine_failed", field: "", limits: null })).toBe(
    "The verdict could not be worked out on this phone. What you typed is kept: open this page again.",
  );
});
