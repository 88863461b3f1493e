import { expect, test } from "vitest";
import { emptyDraft } from "../../../parts/reading/entry";
import { LIMIT, type Sourced, sourceOf, UNSAID } from "./source";

const OF_TABLE: Sourced = {
  source: "mechanical code table 1103.1",
  mark: "S",
  gave: { text: "77", unit: "g/m³" },
  refrigerant: "R-32",
};

function draft(
  own: Sourced,
  { text, unit = "g/m³", refrigerant = "R-32" }: Record<string, string>,
) {
  return {
    ...emptyDraft(own),
    typed: { [LIMIT]: { text: text ?? "", unit, shown: "lb/1000 ft³" } },
    picked: { refrigerant },
  };
}

test("a table answers for its own number, in whatever unit it is looked at", () => {
  expect(sourceOf(draft(OF_TABLE, { text: "77" }))).toBe(OF_TABLE);
});

test.each([
  ["another number", { text: "80" }],
  ["the same number of another unit", { text: "77", unit: "kg/m³" }],
  ["another refrigerant", { text: "77", refrigerant: "R-410A" }],
])("%s is not of the table", (_, typed) => {
  expect(sourceOf(draft(OF_TABLE, typed))).toEqual(UNSAID);
});

test("what a person wrote as the source stands, whatever the number", () => {
  const own = { source: "contract, section 4", mark: "M" };

  expect(sourceOf(draft(own, { text: "80" }))).toBe(own);
});
