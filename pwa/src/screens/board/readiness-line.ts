import { type BarKind, barKind } from "../../components/plan-drawing";
import type { VisitRow } from "../../local/rows";
import type { SurePlan } from "../../queries/chance";
import { isStanding } from "../../queries/visits";
import type { JobPlan, PlannedWork } from "../../trade/types";
import { type Calendar, columnAt, workedUntil } from "./calendar";
import { comingVisit } from "./standing";

/** A stretch of the calendar, in columns from the left. */
export interface Stretch {
  from: number;
  to: number;
}

export interface Bar extends Stretch {
  kind: BarKind;
}

/** What one job draws on the board; null and empty parts are not drawn. */
export interface ReadinessLine {
  bars: Bar[];
  best: number | null;
  shade: Stretch | null;
  proposed: Stretch | null;
  booked: Stretch[];
}

const MS = 1000;
/** A gap narrower than this share of a day is not seen on the board. */
const HAIR = 0.02;

function stretch(fromS: number, { toS, calendar }: { toS: number; calendar: Calendar }): Stretch {
  return { from: columnAt(fromS * MS, calendar), to: columnAt(toS * MS, calendar) };
}

/** Work that comes before the site is ready; the technician's own hours are the visit box. */
function comesBefore(work: PlannedWork, readyAt: number): boolean {
  return work.kind !== "visit" && work.start_s < readyAt && work.finish_s <= readyAt;
}

/** Bars of one kind that meet or overlap are one bar: the line has room for one thing at a time. */
function joined(bars: readonly Bar[]): Bar[] {
  const found: Bar[] = [];
  for (const bar of [...bars].sort((one, other) => one.from - other.from)) {
    const last = found.findLast((one) => one.kind === bar.kind);
    if (last && bar.from <= last.to + HAIR) last.to = Math.max(last.to, bar.to);
    else found.push({ ...bar });
  }
  return found;
}

function barsOf(plan: JobPlan, calendar: Calendar): Bar[] {
  const bars = plan.schedule
    .filter((work) => comesBefore(work, plan.ready_at))
    .map((work) => ({
      ...stretch(work.start_s, { toS: work.finish_s, calendar }),
      kind: barKind(work, plan),
    }))
    .filter((bar) => bar.to > bar.from);
  return joined(bars);
}

function bookedOf(visits: readonly VisitRow[], calendar: Calendar): Stretch[] {
  return visits
    .filter(isStanding)
    .map((visit) => {
      const fromMs = Date.parse(visit.starts_at);
      const toMs = workedUntil(fromMs, { seconds: visit.planned_s, calendar });
      return { from: columnAt(fromMs, calendar), to: columnAt(toMs, calendar) };
    })
    .filter((box) => box.to > box.from);
}

function proposedOf(plan: JobPlan, calendar: Calendar): Stretch | null {
  const visit = plan.schedule.find((work) => work.kind === "visit");
  if (plan.state === "nothing_left" || !visit) return null;
  const box = stretch(visit.start_s, { toS: visit.finish_s, calendar });
  return box.to > box.from ? box : null;
}

/** A visit that is on does not keep the next one from being proposed; one that is booked does. */
export function readinessLine(
  plan: SurePlan,
  { visits, calendar, nowMs }: { visits: readonly VisitRow[]; calendar: Calendar; nowMs: number },
): ReadinessLine {
  const isShown = plan.state !== "nothing_left";
  const { ready_at_best: best, ready_at_p80: sure } = plan;
  return {
    bars: barsOf(plan, calendar),
    best: isShown ? columnAt(best * MS, calendar) : null,
    shade: isShown && sure !== null ? stretch(best, { toS: sure, calendar }) : null,
    proposed: comingVisit(visits, { nowMs }) ? null : proposedOf(plan, calendar),
    booked: bookedOf(visits, calendar),
  };
}
