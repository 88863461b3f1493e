import { expect, test } from "vitest";
import type { IssueRow } from "../../local/rows";
import type { JobView } from "../../queries/job";
import type { JobPlan } from "../../trade/types";
import { answerList, gatesTestRun, ownSteps } from "./answer-list";

function anIssue(number: number, parts: Partial<IssueRow> = {}): IssueRow {
  return {
    id: `issue-${number}`,
    number,
    state: "open",
    who_must_act: "contractor",
    ...parts,
  } as IssueRow;
}

const plan = {
  groups: [
    {
      id: "s:pressure_hold",
      code: "pressure_hold",
      who: "contractor",
      state: "gated",
      why: [{ kind: "issue", id: "issue-7" }],
    },
    {
      id: "s:count",
      code: "count",
      who: "technician",
      state: "gated",
      why: [{ kind: "issue", id: "issue-2" }],
    },
    {
      id: "s:test_run",
      code: "test_run",
      who: "technician",
      state: "gated",
      why: [{ kind: "step", id: "s:pressure_hold" }],
      root_issues: ["issue-7"],
    },
  ],
} as unknown as JobPlan;

test("an issue stands before the test run also through the steps between them", () => {
  expect([...gatesTestRun(plan)]).toEqual(["issue-7"]);
});

test("what stops the test run comes first, and sent back before open", () => {
  const view = {
    issues: [
      anIssue(2),
      anIssue(3, { state: "sent_back" }),
      anIssue(7),
      anIssue(5, { state: "answered" }),
      anIssue(9, { state: "proved" }),
    ],
  } as unknown as JobView;

  const list = answerList(view, { plan });

  expect(list.open.map((issue) => issue.number)).toEqual([7, 3, 2]);
  expect(list.answered.map((issue) => issue.number)).toEqual([5]);
  expect(list.closed.map((issue) => issue.number)).toEqual([9]);
});

test("issues that someone else must act on are not on the contractor's list", () => {
  const view = { issues: [anIssue(1, { who_must_act: "technician" })] } as unknown as JobView;

  expect(answerList(view, { plan }).open).toEqual([]);
});

test("only steps of the contractor that are not done are named", () => {
  expect(ownSteps(plan).map((group) => group.code)).toEqual(["pressure_hold"]);
});
