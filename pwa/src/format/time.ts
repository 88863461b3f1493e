/** Days, times of day and durations, in the zone of the site. */
import { locale } from "./locale";
import { HARD_SPACE } from "./number";
import { daysBetween, wallClock } from "./zoned";

/** An ISO instant, a plain date, or the engine's seconds since the epoch. */
export type Moment = string | number;
type Where = { zone: string; locale?: string };

const MINUTE_S = 60;
const HOUR_S = 3600;
const DAY_S = 86_400;

const isDate = (at: Moment): at is string => typeof at === "string" && at.length === 10;

export function msOf(at: Moment): number {
  if (typeof at === "number") return at * 1000;
  return Date.parse(isDate(at) ? `${at}T12:00:00Z` : at);
}

function dateOf(at: Moment, zone: string): string {
  return isDate(at) ? at : wallClock(msOf(at), { zone }).date;
}

function format(
  at: Moment,
  { zone, locale: language = locale() }: Where,
  shape: Intl.DateTimeFormatOptions,
) {
  const timeZone = isDate(at) ? "UTC" : zone;
  return new Intl.DateTimeFormat(language, { ...shape, timeZone }).format(msOf(at));
}

/** "Fri 27 Nov" */
export function formatDay(at: Moment, where: Where): string {
  return format(at, where, { weekday: "short", day: "numeric", month: "short" }).replace(",", "");
}

/** "Fri", for the axis of a calendar. */
export function formatWeekday(at: Moment, where: Where): string {
  return format(at, where, { weekday: "short" });
}

/** "14:10" */
export function formatTime(at: Moment, where: Where): string {
  return format(at, where, { hour: "2-digit", minute: "2-digit", hourCycle: "h23" });
}

/** "Fri 27 Nov, 14:10" */
export function formatDayTime(at: Moment, where: Where): string {
  return `${formatDay(at, where)}, ${formatTime(at, where)}`;
}

/** By the clock of this device: for what concerns the device itself and no site. */
export function formatHere(at: Moment): string {
  return formatDayTime(at, { zone: Intl.DateTimeFormat().resolvedOptions().timeZone });
}

/** "today", "tomorrow", "yesterday", else the day. */
export function formatNearDay(at: Moment, { now, ...where }: Where & { now: Moment }): string {
  const days = daysBetween(dateOf(now, where.zone), dateOf(at, where.zone));
  if (Math.abs(days) > 1) return formatDay(at, where);
  return new Intl.RelativeTimeFormat(where.locale ?? locale(), { numeric: "auto" }).format(
    days,
    "day",
  );
}

/** Whole days from one moment to another, on the calendar of the site. */
export function daysFrom(at: Moment, { to, zone }: { to: Moment; zone: string }): number {
  return daysBetween(dateOf(at, zone), dateOf(to, zone));
}

function hoursAndMinutes(seconds: number): string {
  const hours = Math.floor(seconds / HOUR_S);
  const minutes = Math.round((seconds - hours * HOUR_S) / MINUTE_S);
  if (minutes === 0) return `${hours}${HARD_SPACE}h`;
  return `${hours}${HARD_SPACE}h${HARD_SPACE}${minutes}${HARD_SPACE}min`;
}

function roundTo(seconds: number, step: number): number {
  return Math.round(seconds / step) * step;
}

/**
 * How long work takes, as people say it: 5 min steps below an hour, a
 * quarter of an hour up to 8 hours, whole hours up to 4 days, then days.
 */
export function formatDuration(seconds: number): string {
  const near = Math.max(5, roundTo(seconds, 5 * MINUTE_S) / MINUTE_S);
  if (near < 60) return `${near}${HARD_SPACE}min`;
  if (seconds < 8 * HOUR_S) return hoursAndMinutes(roundTo(seconds, 15 * MINUTE_S));
  if (seconds < 4 * DAY_S) return hoursAndMinutes(roundTo(seconds, HOUR_S));
  return `${Math.round(seconds / DAY_S)}${HARD_SPACE}days`;
}

/** A measured span, exact enough to act on: "45 s", "12 min", "17 h 30 min", "5 days". */
export function formatSpan(seconds: number): string {
  if (!Number.isFinite(seconds)) return "–";
  if (Math.abs(seconds) < 90) return `${Math.round(seconds)}${HARD_SPACE}s`;
  if (seconds < 90 * MINUTE_S) return `${Math.round(seconds / MINUTE_S)}${HARD_SPACE}min`;
  if (seconds < 4 * DAY_S) return hoursAndMinutes(roundTo(seconds, MINUTE_S));
  return `${Math.round(seconds / DAY_S)}${HARD_SPACE}days`;
}

/** What is left on a clock that somebody watches: "9:05". */
export function formatClock(seconds: number): string {
  const whole = Math.ceil(seconds);
  return `${Math.floor(whole / MINUTE_S)}:${String(whole % MINUTE_S).padStart(2, "0")}`;
}
