import { expect, test } from "vitest";
import "../../../../text/checks";
import { emptyDraft, entryFor, type Field } from "../../../parts/reading/entry";
import { problemWords } from "../../../parts/reading/problem-words";
import { reasonWords } from "../../../parts/reading/reason-words";
import { toldReasons } from "../../../parts/reading/told-reasons";
import { type Found, oddFirst, sureWords, whereWords } from "./words";

const told = { calculation: "port_check_read", units: { system: "si" as const } };
const words = (code: string, values: Record<string, unknown>) =>
  toldReasons([{ code, values }]).map((one) => reasonWords(one, told));

const aUnitFound = (part: Partial<Found>): Found => ({
  unit: "L2-03",
  port: "L2-03",
  kind: "own",
  clear: true,
  rival: null,
  answer_k: 9,
  ...part,
});

test("two that are swapped are named as people say it", () => {
  expect(words("ports_swapped", { units: ["L2-03", "L2-04"], clear: true })).toEqual([
    "L2-03 hangs on the port of L2-04 and the other way round.",
  ]);
});

test("a ring of three is told unit by unit", () => {
  expect(words("ports_swapped", { units: ["A", "B", "C"], clear: true })).toEqual([
    "A hangs on the port of B, B on that of C, C on that of A.",
  ]);
});

test("what only seems so says not to change anything yet", () => {
  expect(words("ports_swapped_likely", { units: ["A", "B"], clear: false })).toEqual([
    "It seems, not sure, that A hangs on the port of B and the other way round. Change nothing yet.",
  ]);
});

test("what is said of many units alike is one sentence, where the first of them stood", () => {
  const of = (code: string, name: string) => ({ code, values: { name } });
  const reasons = [
    of("unit_fits_no_port", "A"),
    of("unit_not_measured", "B"),
    of("unit_fits_no_port", "C"),
  ];

  expect(toldReasons(reasons).map((one) => reasonWords(one, told))).toEqual([
    "The readings of A, C fit no port well.",
    "Not measured: B.",
  ]);
});

test("a unit that may answer to none has no other port to be on", () => {
  const values = { name: "A", port: "B", rival: null, value: 3, limit: 24 };

  expect(words("pair_unclear_or_none", values)).toEqual([
    "A is likely on the port of B, but may answer to none.",
  ]);
});

test("a unit that seems to answer to none is not said to be on the port of nobody", () => {
  const values = { name: "A", port: null, rival: "B", value: 3, limit: 24 };

  expect(words("silence_unclear", values)).toEqual([
    "A seems to answer to no port, but could be on that of B.",
  ]);
});

test("how sure is told in words", () => {
  expect(sureWords(aUnitFound({}))).toBe("sure");
  expect(sureWords(aUnitFound({ clear: false, rival: "L2-05" }))).toBe("not sure, could be L2-05");
  expect(sureWords(aUnitFound({ kind: "not_measured", clear: false }))).toBeNull();
  expect(whereWords(aUnitFound({ kind: "other", port: "L2-04" }))).toBe("on the port of L2-04");
  expect(whereWords(aUnitFound({ kind: "silent", port: null }))).toBe("answers to no port");
});

test("what is odd stands first, then what is not sure", () => {
  const found = [
    aUnitFound({ unit: "own" }),
    aUnitFound({ unit: "unsure", clear: false }),
    aUnitFound({ unit: "other", kind: "other" }),
  ];

  expect(oddFirst(found).map((one) => one.unit)).toEqual(["other", "unsure", "own"]);
});

test("more units than one check can tell apart are said to be too many, in words", () => {
  const limits = { low: 2, high: 64, unit: "units" };
  const problem = { code: "out_of_range" as const, field: "units", message: "", limits };
  const entryOf = (field: Field) => entryFor(field, { draft: emptyDraft({}), system: "si" });
  const screen = { fields: [], entryOf, units: told.units, calculation: "port_check_plan" };

  expect(problemWords(problem, screen)).toBe(
    "Units on ports in one check must be from 2\u00a0units to 64\u00a0units.",
  );
});
