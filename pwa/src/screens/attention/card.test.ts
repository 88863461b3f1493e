import { expect, test } from "vitest";
import { MIRRORS } from "../../actions/mirror";
import type { AttentionRecord, MutationType } from "../../local/records";
import { uuid7 } from "../../local/uuid7";
import type { Person } from "../../queries/people";
import { problemFields } from "../../sync/http";
import { aJobView, anIssue, aStep, aUnit, aVisit } from "../parts/job-view.builder";
import { type Card, cardOf } from "./card";
import { choicesOf } from "./choices";
import { fieldWords } from "./field-words";
import { mendableFields, proposedFields } from "./mendable";

const [unitId, issueId, stepId, closed, open, ben, dee] = Array.from({ length: 7 }, () => uuid7());
const view = aJobView({
  units: [aUnit({ id: unitId ?? "", tag: "L2-03", floor: "2", place: "corridor" })],
  issues: [anIssue({ id: issueId ?? "", number: 4, unit_id: unitId ?? "" })],
  steps: [aStep({ id: stepId ?? "", code: "supply", unit_id: unitId ?? "" })],
  visits: [
    aVisit({ id: closed ?? "", state: "closed" }),
    aVisit({ id: open ?? "", purpose: "part_two", starts_at: "2026-12-02T14:00:00.000Z" }),
  ],
});
const people: Person[] = [
  { id: ben ?? "", name: "Ben Sample", role: "technician" },
  { id: dee ?? "", name: "Dee Trial", role: "technician" },
];
const known = { view, people, units: { system: "si" as const } };
const here = { hasPicture: true };

const photo = {
  issue_id: issueId,
  sha256: "ab".repeat(32),
  size_bytes: 15,
  width_px: 4,
  height_px: 3,
  taken_at: "2026-11-25T09:00:00.000Z",
};
const issue = {
  unit_id: unitId,
  category: "pipe_support",
  words: "Flare weeps",
  action: "Mend it",
  evidence: "A photo",
  stops: ["test_run"],
  opens_circuit: true,
  who_must_act: "contractor",
  due_on: "2026-12-04",
};
const reading = {
  calculation: "supply_power",
  system_id: "s1",
  unit_id: unitId,
  step_id: stepId,
  visit_id: closed,
  inputs: { v_ab_v: 460 },
  entered: { v_ab_v: { text: "460", unit: "V" } },
  outputs: { verdict: "pass", current_unbalance_pct: 1.5, reasons: [] },
  verdict: "pass",
  engine_version: "1",
  instrument: { name: "Clamp meter", range: "600 V", resolution: "1 V", calibrated_on: null },
  reason: null,
  replaces_id: null,
  taken_at: "2026-11-25T09:00:00.000Z",
};
/** One of each, as it travels. */
const SENT: Record<MutationType, { entity: string | undefined; fields: Record<string, unknown> }> =
  {
    "job.create": {
      entity: uuid7(),
      fields: {
        name: "Invented Hall",
        address: "1 Invented Way",
        contractor_firm: "Invented Pipes",
        time_zone: "America/New_York",
        shift_start: "07:00",
        shift_end: "15:30",
        shift_days: [1, 2, 3],
        invented: true,
        systems: [{ id: uuid7(), tag: "1", kind: "heat_pump", refrigerant: "R-1", nominal_v: 460 }],
        units: [{ id: uuid7(), tag: "L1-01", kind: "indoor_unit", parent_id: uuid7() }],
        limits: { vacuum_limit_pa: 66, source: "the sheet" },
      },
    },
    "visit.plan": {
      entity: uuid7(),
      fields: {
        purpose: "part_two",
        starts_at: "2026-12-01T14:00:00.000Z",
        planned_s: 28_800,
        person_id: dee,
        note: "Bring the key",
      },
    },
    "visit.set": { entity: open, fields: { planned_s: 7_200, person_id: dee, note: "Ring first" } },
    "visit.cancel": { entity: open, fields: { note: "The owner put it off" } },
    "visit.close": {
      entity: closed,
      fields: {
        summary: {
          done: [{ system_id: "s1", code: "supply", count: 3 }],
          not_done: [{ system_id: "s1", code: "test_run", why: [], words: "no_power" }],
          issues_open: 2,
        },
        note: null,
      },
    },
    "issue.raise": { entity: uuid7(), fields: { ...issue, visit_id: closed } },
    "issue.set": { entity: issueId, fields: issue },
    "issue.answer": { entity: issueId, fields: { words: "", fixed: true, promised_on: null } },
    "issue.prove": { entity: issueId, fields: { words: "Unit runs" } },
    "issue.send_back": { entity: issueId, fields: { words: "Still dark" } },
    "issue.accept": { entity: issueId, fields: { name: "Owner", reason: "Fine so" } },
    "step.mark": { entity: stepId, fields: { state: "not_applicable", note: null } },
    "reading.record": { entity: uuid7(), fields: reading },
    "photo.add": { entity: uuid7(), fields: { ...photo, marks: [] } },
    "photo.mark": { entity: uuid7(), fields: { marks: [{ tool: "arrow", points: [] }] } },
    "unit.set": { entity: unitId, fields: { room_m3: 31.5, place: "Hall", floor_order: 2 } },
  };
const TYPES = Object.keys(MIRRORS) as MutationType[];

function aCard(type: MutationType, part: Partial<AttentionRecord> = {}): AttentionRecord {
  const { entity = "", fields } = SENT[type];
  return {
    id: uuid7(),
    job_id: "job",
    type,
    entity,
    fields,
    device_time: "2026-11-25T09:00:00.000Z",
    outcome: "set_aside",
    code: "invalid",
    message: "Some fields are missing or out of their limits.",
    problem_fields: {},
    at: "2026-11-25T09:01:00.000Z",
    ...part,
  };
}

/** Everything that a person reads on a card. */
function wordsOn(card: Card): string[] {
  const { title, about, why, problems, happened, facts, mendable, instead } = card;
  const named = facts.flatMap(({ name, words }) => [name, words]);
  return [
    title,
    about,
    why,
    ...problems,
    ...happened,
    ...named,
    ...mendable.map(fieldWords),
    instead,
  ];
}

const RAW =
  /\w_\w|\[object|undefined|\bnull\b|NaN|[0-9a-f]{8}-[0-9a-f]{4}-|T\d\d:\d\d:|attention\.|\{|\}/;

/** What the server can say of a field: by a check of its shape, by a rule, by the engine. */
const SAID: unknown[] = [
  ["Missing data for required field."],
  ["must be one of: heat_pump, heat_recovery"],
  ["may be at most 4000 characters long; this is 5000"],
  ["must lie between 0.1 and 1e+06 m3"],
  ["Not a valid UUID."],
  "closed",
  "another unit or calculation",
  "some_new_code",
  { code: "out_of_range", field: "v_ab_v", message: "v_ab_v is out of range", limits: {} },
];
const CODES = [
  "invalid",
  "visit_closed",
  "visit_cancelled",
  "unknown_person",
  "not_found",
  "goes_with",
  "a_new_rule",
];

test.each(TYPES)("a card of %s says in words what it was, and shows no code", (type) => {
  const { fields } = SENT[type];
  const paths = [
    ...Object.keys(fields),
    "entity",
    "of_next_year",
    "inputs.v_ab_v",
    "inputs.new_pa",
  ];
  for (const said of SAID) {
    const problem_fields = problemFields(Object.fromEntries(paths.map((path) => [path, said])));
    for (const code of CODES) {
      const item = aCard(type, { code, message: `${code} of visit_id`, problem_fields });
      for (const job of [view, null]) {
        const words = wordsOn(cardOf(item, { ...known, view: job }, here));
        expect(words.filter((one) => RAW.test(one))).toEqual([]);
      }
    }
  }
});

test.each(TYPES)(
  "a card of %s is never empty: it says what was written, and what to do",
  (type) => {
    const card = cardOf(aCard(type, { code: "wrong_state" }), known, here);

    expect(card.title).not.toMatch(/^Change:/);
    expect(card.facts.length + card.mendable.length).toBeGreaterThan(0);
    expect(card.why).not.toBe("");
    expect(card.instead).not.toBe("");
  },
);

test("a refused reading tells what was measured, with units, and offers a visit that is open", () => {
  const problem_fields = { visit_id: "closed" };
  const item = aCard("reading.record", { code: "visit_closed", problem_fields });

  const card = cardOf(item, known, here);

  expect(card.about).toContain("L2-03");
  expect(card.facts.map(({ words }) => words)).toEqual(
    expect.arrayContaining(["Pass", "1.50\u00a0%", expect.stringContaining("460\u00a0V")]),
  );
  expect(card.mendable).toContain("visit_id");
  expect(card.problems).toEqual([]);
  expect(proposedFields(item, known)).toEqual({ visit_id: open });
  const { options, empty } = choicesOf("visit_id", known, { sent: closed });
  expect(options.map(({ value }) => value)).toEqual([open]);
  expect(empty).toBe("Without a visit");
});

test("what the same person cannot do is left to others, and never asked for again", () => {
  const steps = aCard("step.mark", { code: "not_your_step", problem_fields: { step: "supply" } });
  const visit = aCard("visit.close", { code: "visit_closed" });

  expect(cardOf(steps, known, here).instead).toMatch(/Leave it to whoever may do it/);
  expect(cardOf(visit, known, here).instead).toMatch(/nothing more to send/);
});

test("where no visit is open the reading is offered to go without one", () => {
  const item = aCard("reading.record", { code: "visit_closed" });
  const alone = { view: aJobView({ visits: [aVisit({ id: closed ?? "", state: "closed" })] }) };

  expect(proposedFields(item, alone)).toEqual({ visit_id: null });
});

test("a visit whose technician has left offers the other technicians", () => {
  const item = aCard("visit.plan", {
    code: "not_a_technician",
    problem_fields: { person_id: "role" },
  });

  const card = cardOf(item, known, here);

  expect(card.mendable).toEqual(["purpose", "starts_at", "planned_s", "person_id", "note"]);
  expect(card.instead).toBe("");
  const { options } = choicesOf("person_id", known, { sent: uuid7() });
  expect(options.map(({ label }) => label)).toEqual(["Ben Sample", "Dee Trial"]);
});

test("a new job that was set aside names the row of its list that was wrong, and what was", () => {
  const problem_fields = problemFields({ units: { 0: { port: ["must be a whole number"] } } });
  const item = aCard("job.create", { problem_fields });

  const card = cardOf(item, { ...known, view: null }, here);

  expect(card.problems).toEqual(["Unit L1-01, Port must be a number."]);
  expect(card.facts).toContainEqual({ name: "Units", words: "1 system, 1 unit" });
  expect(card.mendable).toEqual(["name", "address", "contractor_firm"]);
  expect(card.instead).toMatch(/Correct the sheet/);
});

test("only a few of a thousand faults of a sheet are told one by one", () => {
  const wrong = Array.from({ length: 1000 }, (_, at) => [at, { tag: ["must not be empty"] }]);
  const problem_fields = problemFields({ units: Object.fromEntries(wrong) });

  const { problems } = cardOf(aCard("job.create", { problem_fields }), known, here);

  expect(problems).toHaveLength(9);
  expect(problems.at(-1)).toBe("And 992 more things like these.");
});

test("what another app made and this one does not know can be kept or given up", () => {
  const item = { ...aCard("issue.set"), type: "future.thing", fields: { deep: { a_b: 1 } } };

  const card = cardOf(item, known, here);

  expect(card.mendable).toEqual([]);
  expect(card.instead).toMatch(/newer version/);
  expect(wordsOn(card).filter((one) => RAW.test(one))).toEqual([]);
});

test("fields of the wrong kind, as another app may send them, break no card", () => {
  for (const type of TYPES) {
    const fields = Object.fromEntries(Object.keys(SENT[type].fields).map((name) => [name, 7]));
    expect(() => cardOf(aCard(type, { fields }), known, here)).not.toThrow();
  }
});

test("only what was written is offered to be mended, and what is wrong", () => {
  const fields = { words: "Brazed.", fixed: true, promised_on: null };
  const item = { ...aCard("issue.answer"), code: "wrong_state", fields };

  expect(mendableFields(item, known)).toEqual(["words", "fixed"]);
  expect(mendableFields({ ...item, code: "empty_answer" }, known)).toContain("promised_on");
});

test("what is wrong is said in words, and not again where the reason has said it", () => {
  const late = { code: "wrong_state", problem_fields: { state: "sent_back" } };
  const another = { code: "not_your_move", problem_fields: { role: "contractor" } };
  const told = (part: object) => cardOf(aCard("issue.prove", part), known, here).problems;

  expect(told(late)).toEqual(["State: Sent back"]);
  expect(told(another)).toEqual([]);
});
