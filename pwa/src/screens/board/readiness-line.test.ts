import { expect, test } from "vitest";
import type { VisitRow } from "../../local/rows";
import type { SurePlan } from "../../queries/chance";
import { minutesOf } from "./calendar";
import { readinessLine } from "./readiness-line";
import { countByStanding, isBookable, standingOf } from "./standing";

const seconds = (iso: string) => Date.parse(iso) / 1000;
const calendar = {
  days: ["2026-11-25", "2026-11-26", "2026-11-27", "2026-11-30"],
  zone: "UTC",
  shift: { from: minutesOf("08:00"), to: minutesOf("16:00") },
};

const nowMs = Date.parse("2026-11-25T09:00:00Z");

function aPlan(parts: Partial<SurePlan> = {}): SurePlan {
  return {
    state: "wait_contractor",
    schedule: [],
    waits_for: [],
    ready_at: seconds("2026-11-26T16:00:00Z"),
    ready_at_best: seconds("2026-11-26T08:00:00Z"),
    ready_at_p80: seconds("2026-11-27T16:00:00Z"),
    visit_start_at: seconds("2026-11-27T08:00:00Z"),
    visit_s: { low: 7200, likely: 14400, high: 28800 },
    ...parts,
  } as SurePlan;
}

function aVisit(parts: Partial<VisitRow> = {}): VisitRow {
  return {
    state: "planned",
    starts_at: "2026-11-30T08:00:00.000Z",
    planned_s: 14400,
    ...parts,
  } as VisitRow;
}

function work(parts: Record<string, unknown>) {
  return { kind: "repair", calendar: "shift", who: "contractor", critical: true, ...parts };
}

test("work by people and a hold by the clock are two kinds of bar before the stroke", () => {
  const plan = aPlan({
    schedule: [
      work({ start_s: seconds("2026-11-25T08:00:00Z"), finish_s: seconds("2026-11-25T16:00:00Z") }),
      work({
        kind: "step",
        calendar: "clock",
        start_s: seconds("2026-11-25T16:00:00Z"),
        finish_s: seconds("2026-11-26T16:00:00Z"),
      }),
    ] as SurePlan["schedule"],
  });

  const line = readinessLine(plan, { visits: [], calendar, nowMs });

  expect(line.bars.map((bar) => bar.kind)).toEqual(["work", "hold"]);
  expect(line.bars[1]?.from).toBeCloseTo(0.9);
  expect(line.best).toBeCloseTo(1.1);
  expect(line.shade?.to).toBeCloseTo(2.9);
});

test("jobs of two firms at the same time are one bar, and a hold beside them is its own", () => {
  const day = (hours: string) => seconds(`2026-11-25T${hours}:00:00Z`);
  const plan = aPlan({
    schedule: [
      work({ start_s: day("08"), finish_s: day("12") }),
      work({ start_s: day("10"), finish_s: day("14") }),
      work({ start_s: day("14"), finish_s: day("15") }),
      work({ calendar: "clock", start_s: day("09"), finish_s: day("13") }),
    ] as SurePlan["schedule"],
  });

  const { bars } = readinessLine(plan, { visits: [], calendar, nowMs });

  expect(bars.map((bar) => bar.kind)).toEqual(["work", "hold"]);
  expect(bars[0]?.from).toBeCloseTo(0.1);
  expect(bars[0]?.to).toBeCloseTo(0.8);
});

test("the technician's hours after the site is ready are the visit, not a bar", () => {
  const plan = aPlan({
    schedule: [
      work({
        kind: "proof",
        who: "technician",
        start_s: seconds("2026-11-27T08:00:00Z"),
        finish_s: seconds("2026-11-27T09:00:00Z"),
      }),
      work({
        kind: "visit",
        who: "technician",
        start_s: seconds("2026-11-27T08:00:00Z"),
        finish_s: seconds("2026-11-27T12:00:00Z"),
      }),
    ] as SurePlan["schedule"],
  });

  const line = readinessLine(plan, { visits: [], calendar, nowMs });

  expect(line.bars).toEqual([]);
  expect(line.proposed?.from).toBeCloseTo(2.1);
});

test("a booked visit takes the place of the proposed one", () => {
  const line = readinessLine(aPlan(), { visits: [aVisit()], calendar, nowMs });

  expect(line.proposed).toBeNull();
  expect(line.booked).toHaveLength(1);
  expect(line.booked[0]?.from).toBeCloseTo(3.1);
});

test("a visit that is on leaves the return proposed", () => {
  const visit = work({
    kind: "visit",
    start_s: seconds("2026-11-27T08:00:00Z"),
    finish_s: seconds("2026-11-27T12:00:00Z"),
  });
  const plan = aPlan({ schedule: [visit] as SurePlan["schedule"] });
  const isOn = aVisit({ starts_at: "2026-11-25T08:00:00.000Z" });

  const line = readinessLine(plan, { visits: [isOn], calendar, nowMs });

  expect(line.proposed?.from).toBeCloseTo(2.1);
  expect(line.booked).toHaveLength(1);
});

test("a job with nothing left draws an empty line", () => {
  const line = readinessLine(aPlan({ state: "nothing_left" }), { visits: [], calendar, nowMs });

  expect([line.best, line.shade, line.proposed]).toEqual([null, null, null]);
});

test("a visit whose hour has come has begun until it is closed", () => {
  const nowMs = Date.parse("2026-12-01T08:00:00Z");

  const open = standingOf(aPlan(), { visits: [aVisit()], nowMs });
  const closed = standingOf(aPlan(), { visits: [aVisit({ state: "closed" })], nowMs });

  expect([open, closed]).toEqual(["begun", "wait_contractor"]);
  expect(countByStanding([open, closed, closed]).wait_contractor).toBe(2);
});

test("a waiting job can be booked once every promise it waits for still holds", () => {
  const promised = { issue_id: "issue-4", group_id: null, promised_at: 1, overdue: false };
  const plan = (waits: unknown[]) => aPlan({ waits_for: waits as SurePlan["waits_for"] });

  const standing = "wait_contractor";
  expect(isBookable(plan([promised]), { standing })).toBe(true);
  expect(isBookable(plan([promised, { ...promised, promised_at: null }]), { standing })).toBe(
    false,
  );
  expect(isBookable(plan([{ ...promised, overdue: true }]), { standing })).toBe(false);
  expect(isBookable(plan([]), { standing: "booked" })).toBe(false);
});

test("while the chances are being worked out the stroke stands alone", () => {
  const line = readinessLine(aPlan({ ready_at_p80: null }), { visits: [], calendar, nowMs });

  expect(line.best).toBeCloseTo(1.1);
  expect(line.shade).toBeNull();
});

test("a visit that was called off is booked nowhere: another one is proposed", () => {
  const calledOff = [aVisit({ state: "cancelled" })];
  const work = [
    {
      kind: "visit",
      start_s: seconds("2026-11-27T08:00:00Z"),
      finish_s: seconds("2026-11-27T12:00:00Z"),
    },
  ] as SurePlan["schedule"];
  const plan = aPlan({ state: "to_book", schedule: work } as Partial<SurePlan>);

  const line = readinessLine(plan, { visits: calledOff, calendar, nowMs });
  const standing = standingOf(plan, { visits: calledOff, nowMs });

  expect(line.booked).toEqual([]);
  expect(line.proposed).not.toBeNull();
  expect([standing, isBookable(plan, { standing })]).toEqual(["to_book", true]);
});
