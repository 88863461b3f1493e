import { addDays, daysBetween, instantAt, wallClock } from "../format/zoned";

/** What the engine's plan must bring to be drawn. All moments are seconds since the epoch. */
export type PlanWork = {
  id: string;
  kind: "step" | "repair" | "proof" | "visit";
  calendar: "shift" | "clock";
  issue_id: string | null;
  start_s: number;
  finish_s: number;
};
export type PlanBars = {
  schedule: readonly PlanWork[];
  ready_at: number | null;
  ready_at_best: number | null;
  /** With 8 chances in 10 the site is ready by then; null while that is worked out. */
  ready_at_p80: number | null;
  visit_start_at: number | null;
  visit_s: { low: number; likely: number; high: number };
  waits_for: readonly { issue_id: string | null; promised_at: number | null }[];
};
/** Work by people, a hold by the clock, or waiting for the day that somebody promised. */
export type BarKind = "work" | "hold" | "promise";
export type BookedVisit = { starts_at: string; planned_s: number };

/** Shares of the width, 0 to 100. */
export type Span = { from: number; width: number };
export type Bar = Span & { work: PlanWork; lane: number; kind: BarKind };
export type Drawing = {
  days: { date: string; at: number }[];
  bars: Bar[];
  lanes: number;
  best: number | null;
  spread: Span | null;
  visit: (Span & { kind: "booked" | "proposed" }) | null;
};

/** A calendar of fewer days would make an hour look like a day. */
const LEAST_DAYS = 4;
/** Bars narrower than this cannot be seen on a phone. */
const LEAST_WIDTH = 1.2;

type Visit = { start_s: number; finish_s: number; kind: "booked" | "proposed" };

function visitOf(plan: PlanBars, booked: BookedVisit | null): Visit | null {
  if (booked) {
    const start_s = Date.parse(booked.starts_at) / 1000;
    return { start_s, finish_s: start_s + booked.planned_s, kind: "booked" };
  }
  if (plan.visit_start_at === null) return null;
  const start_s = plan.visit_start_at;
  const planned = plan.schedule.find((work) => work.kind === "visit");
  const finish_s = planned?.finish_s ?? start_s + plan.visit_s.likely;
  return { start_s, finish_s, kind: "proposed" };
}

/** Where the promised day and not the work says when it ends, the bar is a wait: nobody works that long. */
export function barKind(
  work: Pick<PlanWork, "issue_id" | "calendar" | "finish_s">,
  { waits_for }: Pick<PlanBars, "waits_for">,
): BarKind {
  const isPromised = waits_for.some(
    (wait) =>
      wait.issue_id !== null &&
      wait.issue_id === work.issue_id &&
      wait.promised_at === work.finish_s,
  );
  if (isPromised) return "promise";
  return work.calendar === "clock" ? "hold" : "work";
}

/** What happens before the site is ready; the hours of the visit are drawn as the visit. */
export function worksBefore(plan: PlanBars): PlanWork[] {
  const ready = plan.ready_at;
  return plan.schedule
    .filter((work) => work.kind !== "visit" && (ready === null || work.finish_s <= ready))
    .sort((a, b) => a.start_s - b.start_s || a.finish_s - b.finish_s);
}

/** Each bar takes the first lane that is free, so that a chain reads as a stair down to the visit. */
function lanesOf(works: PlanWork[]): number[] {
  const ends: number[] = [];
  let last = -1;
  return works.map((work) => {
    const free = ends.findIndex((end, lane) => end <= work.start_s && lane > last);
    const lane = free >= 0 ? free : ends.length;
    ends[lane] = work.finish_s;
    last = lane;
    return lane;
  });
}

export function drawPlan(
  plan: PlanBars,
  { zone, now_s, booked }: { zone: string; now_s: number; booked: BookedVisit | null },
): Drawing {
  const works = worksBefore(plan);
  const visit = visitOf(plan, booked);
  const last_s = Math.max(
    now_s,
    visit?.finish_s ?? 0,
    plan.ready_at_p80 ?? 0,
    ...works.map((work) => work.finish_s),
  );
  const first = wallClock(now_s * 1000, { zone }).date;
  const count = Math.max(
    LEAST_DAYS,
    daysBetween(first, wallClock(last_s * 1000, { zone }).date) + 1,
  );
  const startOf = (date: string) => instantAt(date, { time: "00:00", zone }) / 1000;
  const from_s = startOf(first);
  const to_s = startOf(addDays(first, count));
  const at = (s: number) => Math.min(100, Math.max(0, (100 * (s - from_s)) / (to_s - from_s)));
  const span = (a: number, b: number): Span => ({
    from: at(a),
    width: Math.max(LEAST_WIDTH, at(b) - at(a)),
  });
  const lanes = lanesOf(works);
  const best = plan.ready_at_best;
  return {
    days: Array.from({ length: count }, (_, index) => addDays(first, index)).map((date) => ({
      date,
      at: at(startOf(date)),
    })),
    bars: works.map((work, index) => ({
      ...span(work.start_s, work.finish_s),
      work,
      lane: lanes[index] ?? 0,
      kind: barKind(work, plan),
    })),
    lanes: Math.max(1, ...lanes.map((lane) => lane + 1)),
    best: best === null ? null : at(best),
    spread: best === null || plan.ready_at_p80 === null ? null : span(best, plan.ready_at_p80),
    visit: visit && { ...span(visit.start_s, visit.finish_s), kind: visit.kind },
  };
}
