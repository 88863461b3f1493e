import { expect, test } from "vitest";
import type { IssueRow, VisitRow } from "../../local/rows";
import type { JobView } from "../../queries/job";
import type { JobPlan } from "../../trade/types";
import { shapeOf, waitsOf } from "./waits";

const today = "2026-11-25";

function anIssue(parts: Partial<IssueRow> = {}): IssueRow {
  return { id: "issue-4", number: 4, state: "open", promised_on: null, ...parts } as IssueRow;
}

function aView({
  issues = [],
  visits = [],
}: {
  issues?: IssueRow[];
  visits?: VisitRow[];
}): JobView {
  const issueById = new Map(issues.map((issue) => [issue.id, issue]));
  return { issues, visits, issueById } as unknown as JobView;
}

function aPlan(parts: Partial<JobPlan> = {}): JobPlan {
  return { state: "wait_contractor", groups: [], waits_for: [], ...parts } as JobPlan;
}

const waitsForIssue = { waits_for: [{ issue_id: "issue-4", promised_at: null, overdue: true }] };

test("a promise that has passed is told as days late, with the failing shape", () => {
  const view = aView({ issues: [anIssue({ promised_on: "2026-11-23" })] });

  const waits = waitsOf(aPlan(waitsForIssue as Partial<JobPlan>), {
    view,
    standing: "wait_contractor",
    today,
  });

  expect(waits).toMatchObject({ kind: "issue", daysLate: 2, more: 0 });
  expect(waits?.kind === "issue" && shapeOf(waits)).toBe("fail");
});

test("a promise for today is not late", () => {
  const view = aView({ issues: [anIssue({ promised_on: today })] });

  const waits = waitsOf(aPlan(waitsForIssue as Partial<JobPlan>), {
    view,
    standing: "wait_contractor",
    today,
  });

  expect(waits).toMatchObject({ kind: "issue", daysLate: null });
});

test("a visit that is on stands before everything else", () => {
  const visit = {
    id: "visit",
    state: "planned",
    starts_at: "2026-11-25T08:00:00.000Z",
  } as VisitRow;
  const view = aView({ issues: [anIssue()], visits: [visit] });

  const waits = waitsOf(aPlan(waitsForIssue as Partial<JobPlan>), {
    view,
    standing: "begun",
    today,
  });

  expect(waits).toMatchObject({ kind: "visit", isOn: true });
});

test("a job with nothing left and no visit is told as such", () => {
  const waits = waitsOf(aPlan({ state: "nothing_left" }), {
    view: aView({}),
    standing: "nothing_left",
    today,
  });

  expect(waits).toEqual({ kind: "nothing_left" });
});
