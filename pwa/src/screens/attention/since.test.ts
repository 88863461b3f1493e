/** What a card says of the time since: what went to others, what came back, what somebody did, and where it is. */
import { afterEach, expect, test } from "vitest";
import type { AttentionRecord, MutationType } from "../../local/records";
import { leaveSession } from "../../local/session";
import { uuid7 } from "../../local/uuid7";
import { aLinkOpened } from "../../testing/phone";
import { FakeServer } from "../../testing/server";
import { aJobView, anIssue, aStep, aUnit, aVisit } from "../parts/job-view.builder";
import { cardOf } from "./card";

const [unitId = "", issueId = "", stepId = "", visitId = ""] = Array.from({ length: 4 }, uuid7);
const view = aJobView({
  units: [aUnit({ id: unitId, tag: "L2-03" })],
  issues: [anIssue({ id: issueId, number: 4, unit_id: unitId })],
  steps: [aStep({ id: stepId, code: "supply", unit_id: unitId })],
  visits: [aVisit({ id: visitId })],
});
const known = { view, people: [], units: { system: "si" as const } };
const here = { hasPicture: true };
const ENTITY: Partial<Record<MutationType, string>> = {
  "issue.answer": issueId,
  "issue.prove": issueId,
  "issue.set": issueId,
  "step.mark": stepId,
  "unit.set": unitId,
  "visit.close": visitId,
};

function aCard(type: MutationType, part: Partial<AttentionRecord> = {}): AttentionRecord {
  const hangsOn = type === "photo.add" ? { issue_id: issueId } : { unit_id: unitId };
  return {
    id: uuid7(),
    job_id: "job",
    type,
    entity: ENTITY[type] ?? uuid7(),
    fields: { words: "Flare weeps", ...hangsOn },
    device_time: "2026-11-25T09:00:00.000Z",
    outcome: "set_aside",
    code: "invalid",
    message: "",
    problem_fields: {},
    at: "2026-11-25T09:01:00.000Z",
    ...part,
  };
}

afterEach(leaveSession);

test("what was set aside while a job was somebody else's can be sent once it is back, and says so", () => {
  const item = aCard("issue.raise", { code: "no_access", job_name: "Invented Hall" });

  const card = cardOf(item, known, here);

  expect(card.why).toMatch(/It is yours again: send it/);
  expect(card.instead).toBe("");
});

test("while the job is away nobody is told to open what is not on the phone", () => {
  const item = aCard("issue.raise", { code: "no_access", job_name: "Invented Hall" });

  const card = cardOf(item, { ...known, view: null }, here);

  expect(card.why).toMatch(/may not change this job any more/);
  expect(card.instead).toBe("Wait for the office, or give it up.");
});

test("nor is whoever was refused before it went away", () => {
  const told = (code: string) => {
    const item = aCard("issue.prove", { code, job_name: "Invented Hall" });
    return cardOf(item, { ...known, view: null }, here).instead;
  };

  expect(told("wrong_state")).toBe("Wait for the office, or give it up.");
  expect(told("not_your_move")).toMatch(/Leave it to whoever may do it/);
});

test("a job whose rows have not left the phone yet is not called back", () => {
  const { why } = cardOf(aCard("issue.set", { code: "no_access" }), known, here);

  expect(why).toMatch(/may not change this job any more/);
});

test("a contractor's answer to an issue that somebody else has now says so, by the issue's name", async () => {
  await aLinkOpened(new FakeServer(), { jobId: "job", recipient: "Pat" });
  const called = { issue_number: 4, unit_tag: "L2-03" };
  const answer = aCard("issue.answer", { code: "not_found", ...called });
  const photo = aCard("photo.add", { code: "not_found", ...called });
  const away = { ...known, view: aJobView({}) };

  for (const item of [answer, photo]) {
    const { about, why, instead } = cardOf(item, away, here);
    expect(about).toBe("Issue 4 · L2-03");
    expect(why).toMatch(/not on your list any more: it was given to somebody else/);
    expect(instead).toMatch(/ask the office to give it back to you, and send this again/);
  }
  const { why, instead } = cardOf({ ...answer, told_in: "1" }, known, here);
  expect([why, instead]).toEqual([expect.stringMatching(/It is there again: send it/), ""]);
});

test("what came between is told with who did it and in their words, and can be opened", () => {
  const event = { kind: "sent_back", by_name: "Ana Example", words: "Isolator still locked" };
  const at = "2026-11-25T16:15:00.000Z";
  const later = { kind: "changed", by_name: "Dee Trial", words: null, at };
  const events = [{ ...event, at }, later, { ...event, by_name: "Ben Sample", pending: true }];
  const eventsByIssue = new Map([[issueId, events]]) as unknown as typeof view.eventsByIssue;
  const problem_fields = { state: "sent_back" };
  const item = aCard("issue.prove", { code: "wrong_state", problem_fields });

  const card = cardOf(item, { ...known, view: { ...view, eventsByIssue } }, here);

  const { problems, happened, place } = card;
  expect(problems).toEqual([]);
  expect(happened).toEqual([
    expect.stringMatching(/^Sent back by Ana Example, Wed.* 25.* 10:15/),
    "“Isolator still locked”",
  ]);
  expect(place).toBe(`/job/job/issue/${issueId}`);
});

test("a card leads to what it is about where that is on this phone, and nowhere else", () => {
  const places = (known_: typeof known | { view: null }) =>
    [aCard("step.mark"), aCard("unit.set"), aCard("visit.close"), aCard("issue.raise")].map(
      (item) => cardOf(item, { ...known, ...known_ }, here).place,
    );
  const unit = `/job/job/unit/${unitId}`;

  expect(places(known)).toEqual([unit, unit, "/job/job", unit]);
  expect(places({ view: null })).toEqual([null, null, null, null]);
});

test("a contractor's card leads to the issue on their own list, while it is there", async () => {
  await aLinkOpened(new FakeServer(), { jobId: "job", recipient: "Pat" });
  const item = aCard("issue.answer", { code: "wrong_state" });

  expect(cardOf(item, known, here).place).toBe(`/answer/issue/${issueId}`);
  expect(cardOf(item, { ...known, view: aJobView({}) }, here).place).toBeNull();
});
