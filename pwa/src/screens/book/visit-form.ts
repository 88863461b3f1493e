import type { VisitSetFields } from "../../actions/fields";
import { instantAt, timeOfDay, wallClock } from "../../format/zoned";
import type { VisitPurpose, VisitRow } from "../../local/rows";
import type { TextKey } from "../../text";
import type { JobPlan } from "../../trade/types";

const HOUR_S = 3600;
const MINUTE_S = 60;
/** Nobody books a visit for 11:51: a proposal starts at the next quarter of an hour. */
const QUARTER_MIN = 15;

export interface VisitForm {
  purpose: VisitPurpose;
  day: string;
  start: string;
  hours: number;
  personId: string;
  note: string;
}

/** A visit as the form that would have booked it. */
export function formOf(visit: VisitRow, { zone }: { zone: string }): VisitForm {
  const { date, minutes } = wallClock(Date.parse(visit.starts_at), { zone });
  return {
    purpose: visit.purpose,
    day: date,
    start: timeOfDay(minutes),
    hours: hoursFor(visit.planned_s),
    personId: visit.person_id ?? "",
    note: visit.note ?? "",
  };
}

/** What the form says otherwise: only that is sent, so that nobody else's change is undone by the way. */
export function changesIn(
  form: VisitForm,
  { from, zone }: { from: VisitForm; zone: string },
): VisitSetFields {
  const changes: VisitSetFields = {};
  if (form.purpose !== from.purpose) changes.purpose = form.purpose;
  if (form.day !== from.day || form.start !== from.start) {
    changes.starts_at = new Date(startsAt(form, { zone })).toISOString();
  }
  if (form.hours !== from.hours) changes.planned_s = form.hours * HOUR_S;
  if (form.personId !== from.personId) changes.person_id = form.personId;
  if (form.note.trim() !== from.note.trim()) changes.note = form.note.trim() || null;
  return changes;
}

/** Lengths that a visit can be booked for, in hours; a proposal is rounded up to the next one. */
export const BOOKABLE_HOURS = [
  1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 12, 14, 16, 18, 20, 22, 24, 32, 40,
] as const;

export type VisitProblems = Partial<Record<"day" | "start" | "personId", TextKey>>;

export function visitProblems(form: VisitForm, { today }: { today: string }): VisitProblems {
  const problems: VisitProblems = {};
  if (form.day === "") problems.day = "new_job.field.missing";
  else if (form.day < today) problems.day = "new_job.field.past";
  if (form.start === "") problems.start = "new_job.field.missing";
  if (form.personId === "") problems.personId = "new_job.field.missing";
  return problems;
}

export function hoursFor(seconds: number): number {
  const longest = BOOKABLE_HOURS.at(-1) ?? 24;
  return BOOKABLE_HOURS.find((hours) => hours * HOUR_S >= seconds) ?? longest;
}

export function startsAt(form: VisitForm, { zone }: { zone: string }): number {
  return instantAt(form.day, { time: form.start, zone });
}

/** The plan's proposal as a form would be filled in. */
export function proposedVisit(
  plan: JobPlan,
  { zone }: { zone: string },
): Pick<VisitForm, "day" | "start" | "hours"> | null {
  if (plan.visit_start_at === null) return null;
  const quarterS = QUARTER_MIN * MINUTE_S;
  const startS = Math.ceil(plan.visit_start_at / quarterS) * quarterS;
  const { date, minutes } = wallClock(startS * 1000, { zone });
  return { day: date, start: timeOfDay(minutes), hours: hoursFor(plan.visit_s.likely) };
}

export type BookingDoubt = "before_best" | "before_likely" | "off_shift" | "too_short";

type Shift = { zone: string; from: string; to: string };
type Known = { plan: JobPlan | undefined; shift: Shift; nowS: number };

/** A site that is ready now stays ready; the plan is worked out anew each minute and says "now". */
function earlyDoubt(startS: number, { plan, nowS }: { plan: JobPlan; nowS: number }) {
  const from = Math.max(startS, nowS + MINUTE_S);
  if (from < plan.ready_at_best) return "before_best";
  return from < plan.ready_at ? "before_likely" : null;
}

/** What a dispatcher should know before booking this hour; booking stays possible. */
export function doubtsAbout(form: VisitForm, { plan, shift, nowS }: Known): BookingDoubt[] {
  if (form.day === "" || form.start === "") return [];
  const doubts: BookingDoubt[] = [];
  const early = plan && earlyDoubt(startsAt(form, shift) / 1000, { plan, nowS });
  if (early) doubts.push(early);
  if (form.start < shift.from || form.start >= shift.to) doubts.push("off_shift");
  if (plan && form.hours * HOUR_S < plan.visit_s.likely) doubts.push("too_short");
  return doubts;
}
