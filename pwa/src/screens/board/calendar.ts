import { addDays, instantAt, timeOfDay, wallClock, weekdayOf } from "../../format/zoned";

const MINUTES_PER_DAY = 1440;

/** How many working days the board shows, today included. */
export const DAYS_SHOWN = 10;

/** The share of a day's column that its shift fills: a board is read in working days, not in nights. */
const SHIFT_SHARE = 0.8;

/** The columns of the board, and the clock and shift of the site whose line is drawn. */
export interface Calendar {
  days: readonly string[];
  zone: string;
  /** Minutes since midnight. */
  shift: { from: number; to: number };
}

/** The next working days; a day counts as soon as one job on the board works on it. */
export function workingDays(
  today: string,
  { shiftDays, count = DAYS_SHOWN }: { shiftDays: ReadonlySet<number>; count?: number },
): string[] {
  const worked = shiftDays.size > 0 ? shiftDays : new Set([1, 2, 3, 4, 5]);
  const days = [today];
  for (let day = addDays(today, 1); days.length < count; day = addDays(day, 1)) {
    if (worked.has(weekdayOf(day))) days.push(day);
  }
  return days;
}

/** "07:00" as minutes since midnight. */
export function minutesOf(time: string): number {
  const [hours = 0, minutes = 0] = time.split(":").map(Number);
  return hours * 60 + minutes;
}

function shareOfDay(minutes: number, { from, to }: Calendar["shift"]): number {
  if (to <= from) return minutes / MINUTES_PER_DAY;
  const night = (1 - SHIFT_SHARE) / 2;
  if (minutes < from) return (night * minutes) / from;
  if (minutes <= to) return night + (SHIFT_SHARE * (minutes - from)) / (to - from);
  return 1 - night + (night * (minutes - to)) / (MINUTES_PER_DAY - to);
}

/**
 * Where an instant falls on the calendar, in columns from the left. A day that
 * has no column (a weekend) has no width: it falls on the edge before the next day.
 */
export function columnAt(atMs: number, { days, zone, shift }: Calendar): number {
  const { date, minutes } = wallClock(atMs, { zone });
  const next = days.findIndex((day) => day >= date);
  if (next === -1) return days.length;
  return days[next] === date ? next + shareOfDay(minutes, shift) : next;
}

/**
 * When work of so many hours ends if it is done in shifts, on the days that have a
 * column. Work that starts outside the shift is taken as one stretch.
 */
export function workedUntil(
  startMs: number,
  { seconds, calendar }: { seconds: number; calendar: Calendar },
): number {
  const { days, zone, shift } = calendar;
  const { date, minutes } = wallClock(startMs, { zone });
  if (minutes < shift.from || minutes >= shift.to) return startMs + seconds * 1000;
  let left = seconds / 60 - (shift.to - minutes);
  if (left <= 0) return startMs + seconds * 1000;
  const length = shift.to - shift.from;
  const later = days.filter((day) => day > date);
  for (const day of later) {
    if (left <= length) return instantAt(day, { time: timeOfDay(shift.from + left), zone });
    left -= length;
  }
  return startMs + seconds * 1000;
}
