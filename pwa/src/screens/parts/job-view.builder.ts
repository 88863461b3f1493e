/** A small invented job for tests: says only what a test does not care about. */
import type { IssueRow, StepRow, SystemRow, UnitRow, VisitRow } from "../../local/rows";
import type { JobView } from "../../queries/job";
import type { JobPlan, PlanGroup } from "../../trade/types";

const ROW = { job_id: "job", rev: 1, pending: false };

export function aUnit(part: Partial<UnitRow> & { id: string }): UnitRow {
  return {
    ...ROW,
    system_id: "s1",
    kind: "indoor_unit",
    tag: part.id,
    floor: "1",
    floor_order: 1,
    place: "corridor",
    room: null,
    room_m3: null,
    parent_id: null,
    port: null,
    port_count: null,
    group_address: null,
    central_address: null,
    feeder: null,
    model_note: null,
    ...part,
  };
}

export function anIssue(part: Partial<IssueRow> & { id: string }): IssueRow {
  return {
    ...ROW,
    number: 4,
    unit_id: null,
    system_id: "s1",
    category: "leak",
    words: "Flare weeps",
    action: "",
    evidence: "",
    stops: ["refrigerant"],
    opens_circuit: true,
    who_must_act: "contractor",
    state: "open",
    visit_id: null,
    raised_at: "2026-11-25T14:00:00.000Z",
    raised_by_name: "Ben",
    due_on: null,
    promised_on: null,
    answered_at: null,
    answered_by_name: null,
    proved_by_name: null,
    closed_at: null,
    times_reopened: 0,
    accepted_by_name: null,
    accepted_reason: null,
    ...part,
  };
}

export function aStep(part: Partial<StepRow> & { id: string; code: string }): StepRow {
  return {
    ...ROW,
    system_id: "s1",
    unit_id: null,
    state: "todo",
    done_at: null,
    done_by_name: null,
    note: null,
    reading_id: null,
    reset_by: null,
    ...part,
  };
}

export function aVisit(part: Partial<VisitRow> = {}): VisitRow {
  return {
    ...ROW,
    id: "visit",
    purpose: "part_one",
    state: "planned",
    starts_at: "2026-11-25T13:00:00.000Z",
    planned_s: 28_800,
    person_id: "ben",
    person_name: "Ben",
    summary: null,
    closed_at: null,
    ...part,
  };
}

export function aGroup(part: Partial<PlanGroup> & { code: string }): PlanGroup {
  return {
    id: `s1:${part.code}`,
    system_id: "s1",
    side: "controls",
    part: "part_one",
    who: "technician",
    calendar: "shift",
    state: "doable",
    done: 0,
    total: 1,
    doable_units: [],
    stopped_units: [],
    why: [],
    root_issues: [],
    reset_by: [],
    duration_s: { low: 0, likely: 0, high: 0 },
    doable_s: 0,
    source: "common practice",
    mark: "P",
    ...part,
  };
}

type Rows = Partial<Pick<JobView, "units" | "issues" | "steps" | "visits" | "systems">>;

function byKey<T, K extends keyof T>(rows: T[], key: K): Map<string, T[]> {
  const found = new Map<string, T[]>();
  for (const row of rows) {
    const value = row[key];
    if (typeof value === "string") found.set(value, [...(found.get(value) ?? []), row]);
  }
  return found;
}

const byId = <T extends { id: string }>(rows: T[]) => new Map(rows.map((row) => [row.id, row]));

export function aJobView({
  units = [],
  issues = [],
  steps = [],
  visits = [],
  systems,
}: Rows): JobView {
  const all = systems ?? [{ ...ROW, id: "s1", tag: "1" } as SystemRow];
  return {
    job: { ...ROW, id: "job", time_zone: "America/Chicago", contractor_firm: "Example Mechanical" },
    systems: all,
    units,
    issues,
    steps,
    visits,
    events: [],
    readings: [],
    photos: [],
    limits: [],
    systemById: byId(all),
    unitById: byId(units),
    stepById: byId(steps),
    issueById: byId(issues),
    visitById: byId(visits),
    issuesByUnit: byKey(issues, "unit_id"),
    stepsByUnit: byKey(steps, "unit_id"),
    eventsByIssue: new Map(),
    photosByIssue: new Map(),
    photosByUnit: new Map(),
    photosByReading: new Map(),
    readingsByUnit: new Map(),
  } as unknown as JobView;
}

export function aPlan(groups: PlanGroup[], headline: Partial<JobPlan["headline"]> = {}): JobPlan {
  return {
    groups,
    headline: { issue_id: null, stopped_count: 0, doable_count: 0, doable_s: 0, ...headline },
    schedule: [],
  } as unknown as JobPlan;
}
