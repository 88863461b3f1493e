import { expect, test } from "vitest";
import "../../text/checks";
import { exactWords, pathWords, siWords, typedWords } from "./raw-words";

const of = { calculation: "extra_charge", nameOf: (id: string) => (id === "u1" ? "L1-03" : id) };
const NBSP = "\u00a0";

test("a field is named in words, without its unit, and places in a list count from 1", () => {
  expect(pathWords("gauge_pa", { calculation: "superheat" })).toBe("Gauge pressure");
  expect(pathWords("true_unbalance_pct", { calculation: "supply_power" })).toBe("True unbalance");
  expect(pathWords("lines[1].mass_kg", of)).toMatch(/^Lines 2, /);
});

test("the record keeps SI, and a comparison keeps every digit", () => {
  expect(siWords({ path: "lines[1].mass_kg", value: 0.4781912345 }, of)).toBe(`0.4781912${NBSP}kg`);
  expect(exactWords("mean_v", 460.0000123456789, of)).toBe(`460.0000123456789${NBSP}V`);
  expect(siWords({ path: "assignment[0].unit", value: "u1" }, of)).toBe("L1-03");
});

test("what was typed stays letter by letter, and a moment is told on the clock of the site", () => {
  const at = { zone: "America/Chicago", nameOf: of.nameOf };

  expect(typedWords({ text: "118,50", unit: "psi" }, at)).toBe(`118,50${NBSP}psi`);
  expect(typedWords({ text: "2026-11-25T14:00:00.000Z", unit: "" }, at)).toMatch(/25.*, 08:00$/);
  expect(typedWords({ text: "not_measured", unit: "" }, at)).toBe("Not yet");
});
