import { expect, test } from "vitest";
import type { PreparedPhoto } from "../../photo/prepare";
import type { IssueCategory } from "../../trade/types";
import { aUnit } from "../parts/job-view.builder";
import { EMPTY_DRAFT, recentUnits, settle, toRaise, withCategory } from "./draft";

const leak = {
  code: "leak",
  stops: ["refrigerant"],
  opens_circuit: true,
  who_must_act: "contractor",
  action: "category.leak.action",
  evidence: "category.leak.evidence",
} as IssueCategory;
const from = { jobId: "job", unitId: "B2", visitId: "visit", draftKey: "log", category: leak };

test("a category alone is a whole issue: what it stops, who acts, what to do, what proof", () => {
  const raised = toRaise({ ...EMPTY_DRAFT, ...withCategory("leak") }, from);

  expect(raised).toMatchObject({
    unitId: "B2",
    category: "leak",
    stops: ["refrigerant"],
    opensCircuit: true,
    whoMustAct: "contractor",
  });
  expect(raised.action).toMatch(/^Find and mend the leak/);
});

test("all its photos go with the issue, in the order they were taken", () => {
  const photos = ["first", "second", "third"].map((sha256) => ({ sha256 }) as PreparedPhoto);

  const raised = toRaise({ ...EMPTY_DRAFT, ...withCategory("leak"), photos }, from);

  expect(raised.photos?.map((photo) => photo.sha256)).toEqual(["first", "second", "third"]);
});

test("what a person changed stands, also when they chose nothing at all", () => {
  const changed = settle(
    { ...EMPTY_DRAFT, category: "leak", stops: [], opensCircuit: "no", whoMustAct: "technician" },
    { category: leak },
  );

  expect(changed).toMatchObject({ stops: [], opensCircuit: false, whoMustAct: "technician" });
});

test("a day it is wanted by goes with the issue, and another category leaves it", () => {
  const draft = { ...EMPTY_DRAFT, dueOn: "2026-12-02", ...withCategory("leak") };

  expect(toRaise(draft, from).dueOn).toBe("2026-12-02");
  expect(toRaise({ ...EMPTY_DRAFT, ...withCategory("leak") }, from).dueOn).toBeNull();
});

test("another category takes its own defaults; words and photos stay", () => {
  const draft = { ...EMPTY_DRAFT, words: "wet", stops: [] };

  expect({ ...draft, ...withCategory("drain") }).toMatchObject({ words: "wet", stops: null });
});

test("units last used come first, each once", () => {
  const units = [aUnit({ id: "A" }), aUnit({ id: "B" }), aUnit({ id: "C" })];

  const recent = recentUnits(units, { touched: ["C", "A", "C", null, "gone"] });

  expect(recent.map((unit) => unit.id)).toEqual(["C", "A"]);
});
