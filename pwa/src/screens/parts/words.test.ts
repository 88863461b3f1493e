import { expect, test } from "vitest";
import { formatDay } from "../../format/time";
import {
  byWhatTheyStop,
  issueInWords,
  issueRef,
  issueStateWords,
  issueTitle,
  stoppedCount,
} from "./issue-words";
import { aGroup, aJobView, anIssue, aPlan, aUnit, aVisit } from "./job-view.builder";
import { headlineWords, whyWords } from "./plan-words";
import { currentVisit, parentWords, placeOf, wordsFor } from "./unit-words";

const leak = anIssue({ id: "leak", unit_id: "B2" });
const power = anIssue({ id: "power", number: 9, state: "answered", stops: ["controls"] });
const view = aJobView({
  units: [aUnit({ id: "B2", kind: "branch_box", place: "corridor ceiling", floor: "2" })],
  issues: [leak, power],
});

test("an issue goes by its number, and is new until the server has given it one", () => {
  expect(issueRef(leak)).toBe("Issue 4");
  expect(issueRef({ ...leak, number: null })).toBe("New issue");
});

test("in a sentence a new issue is told by its unit, and several at one unit are counted", () => {
  const fresh = ["a", "b", "c"].map((id) => anIssue({ id, number: null, unit_id: "B2" }));
  const [one] = fresh;
  const here = aJobView({ units: view.units, issues: [leak, ...fresh] });
  const plan = aPlan([]);
  const why = (ids: string[]) =>
    whyWords(
      ids.map((id) => ({ kind: "issue", id })),
      { view: here, plan },
    );

  expect(why(["a", "leak"])).toBe("Stopped by issue 4 and new issue at B2, contractor.");
  expect(why(["a", "b", "c"])).toBe("Stopped by 3 new issues at B2, contractor.");
  expect(one && issueInWords(one, { view: here })).toBe("new issue at B2");
});

test("the title of an issue is its first sentence, else its category", () => {
  expect(issueTitle({ ...leak, words: "Flare weeps. Bubbles in the soap test." })).toBe(
    "Flare weeps.",
  );
  expect(issueTitle({ ...leak, words: "  " })).toBe("Leak");
  expect(issueTitle({ ...leak, words: "x".repeat(90) }).length).toBe(64);
});

test("the day that counts is the promised one, and a day gone by is told as gone by", () => {
  const on = (now: string) => ({ view, now_s: Date.parse(now) / 1000 });
  const due = { ...leak, due_on: "2026-12-01" };
  // How a day is written follows the phone's language; that is tested where days are formatted.
  const day = (date: string) => formatDay(date, { zone: view.job.time_zone });

  expect(issueStateWords(due, on("2026-11-27T15:00:00Z"))).toBe(
    `Open 2 days, due ${day("2026-12-01")}`,
  );
  expect(issueStateWords(due, on("2026-12-02T15:00:00Z"))).toBe(
    `Open 7 days, was due ${day("2026-12-01")}`,
  );
  expect(issueStateWords({ ...due, promised_on: "2026-11-30" }, on("2026-11-27T15:00:00Z"))).toBe(
    `Open 2 days, promised ${day("2026-11-30")}`,
  );
});

test("why a step waits: prove what is answered, who must act on what is open, then the steps before", () => {
  const hold = aGroup({ code: "pressure_hold" });
  const plan = aPlan([hold]);

  const words = whyWords(
    [
      { kind: "step", id: hold.id },
      { kind: "issue", id: "leak" },
      { kind: "issue", id: "power" },
    ],
    { view, plan },
  );

  expect(words).toBe(
    "Prove issue 9 first. Stopped by issue 4, contractor. Waits for pressure hold.",
  );
});

test("the headline says what stops, what a repair resets, and what can still be done", () => {
  const plan = aPlan([], { issue_id: "leak", doable_count: 9, doable_s: 3 * 3600 });

  const { head, body } = headlineWords({ view, plan });

  expect(head).toBe("Issue 4 stops the refrigerant side. 9 steps can be done now, about 3\u00a0h.");
  expect(body).toBe(
    "Flare weeps, B2 · Floor 2, corridor ceiling. Opening the circuit resets hold, evacuation, standing vacuum and charge.",
  );
});

test("with nothing in the way the headline says only what can be done", () => {
  const plan = aPlan([], { doable_count: 1, doable_s: 1200 });

  expect(headlineWords({ view, plan })).toEqual({
    head: "Nothing stops the work. 1 step can be done now, about 20\u00a0min.",
    body: null,
  });
});

test("issues that stop the most steps come first", () => {
  const plan = aPlan([
    aGroup({ code: "count", state: "gated", root_issues: ["power"] }),
    aGroup({ code: "charge", state: "gated", root_issues: ["leak", "power"] }),
    aGroup({ code: "addresses", state: "partly", root_issues: ["leak"] }),
  ]);

  expect(stoppedCount("leak", { plan })).toBe(1);
  expect([leak, power].sort(byWhatTheyStop(plan)).map((issue) => issue.id)).toEqual([
    "power",
    "leak",
  ]);
});

test("a place is told by floor, place and room, and a port by its box", () => {
  const unit = aUnit({
    id: "L2-05",
    floor: "Roof",
    place: null,
    room: "R 5",
    parent_id: "B2",
    port: 5,
  });

  expect(placeOf(unit)).toBe("Roof, R 5");
  expect(parentWords(unit, { view })).toBe("B2, port 5");
});

test("a code that this phone has no words for yet is shown plainly", () => {
  expect(wordsFor("step", "dry_run_twice")).toBe("dry run twice");
});

test("the current visit is the first that is not closed", () => {
  const visits = [
    aVisit({ id: "next", starts_at: "2026-12-02T13:00:00.000Z" }),
    aVisit({ id: "today" }),
    aVisit({ id: "past", state: "closed", starts_at: "2026-11-20T13:00:00.000Z" }),
    aVisit({ id: "off", state: "cancelled", starts_at: "2026-11-21T13:00:00.000Z" }),
  ];

  expect(currentVisit(aJobView({ visits }))?.id).toBe("today");
});

test("an answered issue no longer stops by itself: it waits to be proved", () => {
  const plan = aPlan([], { issue_id: "power", doable_count: 0 });

  expect(headlineWords({ view, plan }).head).toBe(
    "Issue 9 is answered: prove it first. Nothing is left that you can do now.",
  );
});
