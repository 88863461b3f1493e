import { expect, test } from "vitest";
import { enterSession } from "../../local/session";
import type { JobView } from "../../queries/job";
import { benWithAPhone } from "../../testing/phone";
import { FakeServer } from "../../testing/server";
import { type TextKey, t } from "../../text";
import { aJobView, anIssue, aStep, aUnit, aVisit } from "../parts/job-view.builder";
import { aboutWords } from "./about";
import { whatKey, whyWords } from "./attention-words";
import { valueWords } from "./field-words";
import { placeOfRow, twoValuesOf } from "./two-values";
import { leadWords, nowWords } from "./two-words";

test("a change without a name here is called a change", () => {
  const hasText = (id: string): id is TextKey => id === "attention.what.issue_answer";

  expect(whatKey("issue.answer", { hasText })).toBe("attention.what.issue_answer");
  expect(whatKey("future.thing", { hasText })).toBe("attention.what.other");
});

test("a reason without a sentence here is told as the server said it, but never as a code", () => {
  const why = (code: string, message: string) =>
    whyWords({ type: "issue.set", code, message, problem_fields: {} });

  expect(why("wrong_state", "x")).toMatch(/moved on in the meantime/);
  expect(why("unheard_of", "The roof is shut.")).toBe("The office answered: The roof is shut.");
  expect(why("unheard_of", "unheard_of")).toMatch(/no words for/);
});

test("one reason can mean another thing for another change", () => {
  const why = (type: string) =>
    whyWords({ type, code: "visit_closed", message: "", problem_fields: {} });

  expect(why("reading.record")).toMatch(/Send it with a visit that is open/);
  expect(why("visit.close")).toMatch(/Somebody closed this visit before/);
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
    { table: "unit", id: "unit", field: "place", now: "Hall", others: [other] },
  ]);
});

test("a third value that was pushed aside before is brought too, the last one first", () => {
  const first = { value: "todo", by_name: "Dee", at: "2026-11-25T08:00:00.000Z" };
  const second = { value: "failed", by_name: "Ben", at: "2026-11-25T09:00:00.000Z", before: first };
  const step = aStep({ id: "1", code: "charge", state: "done", two_values: { state: second } });

  const [two] = twoValuesOf(aJobView({ steps: [step] }));

  expect(two?.others.map(({ value, by_name }) => [value, by_name])).toEqual([
    ["failed", "Ben"],
    ["todo", "Dee"],
  ]);
});

test("of two values each says whose it is and when, and two phones of one person are not two people", () => {
  const other = { value: "Hall", by_name: "Ben", at: "2026-11-25T15:00:00.000Z" };
  const now = { now_by_name: "Ana", now_at: "2026-11-25T16:15:00.000Z" };
  const zone = { zone: "America/Chicago" };
  const told = (part: object) => {
    const others = [{ ...other, ...part }];
    return [leadWords({ others }), nowWords({ others }, zone)];
  };

  expect(told(now)).toEqual([
    "Two people wrote something different",
    expect.stringMatching(/^Counts now: Ana wrote, Wed.* 25.* 10:15/),
  ]);
  expect(told({ ...now, now_by_name: "Ben" })).toEqual([
    "Two values were written for it",
    expect.stringMatching(/^Counts now: Ben wrote/),
  ]);
  expect(t("attention.two_count", { count: 1 })).not.toMatch(/people/);
  expect(told({})).toEqual(["Two values were written for it", "Counts now"]);
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

test("what was planned of a visit is for the office to pick, and leads to the page that lists visits", async () => {
  const other = { value: "2026-12-01T14:00:00.000Z", by_name: "Ann", at: "2026-11-25T09:00:00Z" };
  const view = aJobView({ visits: [aVisit({ two_values: { starts_at: other } })] });
  const { who } = await benWithAPhone(new FakeServer());

  const asked = twoValuesOf(view);
  await enterSession({ ...who, role: "dispatcher" });
  const [two] = twoValuesOf(view);

  expect(asked).toEqual([]);
  expect(two).toMatchObject({ table: "visit", field: "starts_at", others: [other] });
  expect(two && placeOfRow(two, { view })).toBe("/job/job/office");
});

test("a value with two sides is shown in words, never as a code or a machine's day", () => {
  const view = aJobView({ units: [aUnit({ id: "u1", tag: "L2-03" })] });
  const shown = (field: string, value: unknown) => valueWords(value, { field, view });

  expect(shown("who_must_act", "electrician")).toBe("Electrician");
  expect(shown("stops", ["refrigerant", "controls"])).toBe("refrigerant side and controls");
  expect(shown("stops", [])).toBe("(empty)");
  expect(shown("due_on", "2026-12-04")).toMatch(/Dec 4|4 Dec/);
  expect(shown("opens_circuit", true)).toBe("Yes");
  expect(shown("room_m3", 31.5)).toBe("31.5");
  expect(shown("state", "failed")).toBe("Failed");
  expect(shown("unit_id", "u1")).toBe("L2-03");
  expect(shown("place", "Hall")).toBe("Hall");
});

test("what needs attention says what it is about, also where it was never made", () => {
  const view = aJobView({
    units: [aUnit({ id: "u1", tag: "L2-03", floor: "2", place: "corridor" })],
    issues: [anIssue({ id: "i1", number: 4, unit_id: "u1", words: "Flare weeps" })],
    steps: [aStep({ id: "s1", code: "addresses", unit_id: "u1" })],
  });
  const about = (entity: string, fields: object) =>
    aboutWords({ entity, fields: { ...fields } }, { view });

  expect(about("i1", { words: "x" })).toBe("Flare weeps · Issue 4 · L2-03 · Floor 2, corridor");
  expect(about("new", { unit_id: "u1", category: "leak" })).toContain("L2-03");
  expect(about("new", { issue_id: "i1" })).toContain("Issue 4");
  expect(about("s1", { state: "done" })).toContain("L2-03");
  expect(about("new", { calculation: "supply_power", unit_id: "u1" })).toBe(
    "Supply and rotation · L2-03 · Floor 2, corridor",
  );
  expect(about("unknown", {})).toBe("");
});

test("a photo that was refused after its announcement is called a photo", () => {
  const has = (id: string): id is TextKey => id === "attention.what.photo_add";

  expect(whatKey("photo", { hasText: has })).toBe("attention.what.photo_add");
});
