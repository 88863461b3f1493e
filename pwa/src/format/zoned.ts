/**
 * The clock on the wall of a site. A job is planned in the time zone of its
 * site, whatever the zone of the phone or desk that looks at it.
 */

const MS_PER_MINUTE = 60_000;
const MS_PER_DAY = 86_400_000;

export interface WallClock {
  /** YYYY-MM-DD at the site. */
  date: string;
  /** Minutes since midnight at the site. */
  minutes: number;
}

const formatters = new Map<string, Intl.DateTimeFormat>();

function partsOf(zone: string): Intl.DateTimeFormat {
  const known = formatters.get(zone);
  if (known) return known;
  const made = new Intl.DateTimeFormat("en-GB", {
    timeZone: zone,
    hourCycle: "h23",
    year: "numeric",
    month: "2-digit",
    day: "2-digit",
    hour: "2-digit",
    minute: "2-digit",
  });
  formatters.set(zone, made);
  return made;
}

export function wallClock(atMs: number, { zone }: { zone: string }): WallClock {
  const found: Record<string, string> = {};
  for (const part of partsOf(zone).formatToParts(atMs)) found[part.type] = part.value;
  return {
    date: `${found.year}-${found.month}-${found.day}`,
    minutes: Number(found.hour) * 60 + Number(found.minute),
  };
}

function asIfUtc({ date, minutes }: WallClock): number {
  return Date.parse(`${date}T00:00:00Z`) + minutes * MS_PER_MINUTE;
}

/**
 * The instant at which the site's clock shows this date and time. Corrected
 * twice, because the first guess may lie on the other side of a clock change.
 */
export function instantAt(date: string, { time, zone }: { time: string; zone: string }): number {
  const wanted = Date.parse(`${date}T${time}:00Z`);
  let guess = wanted;
  for (let round = 0; round < 2; round += 1) {
    guess += wanted - asIfUtc(wallClock(guess, { zone }));
  }
  return guess;
}

/** "HH:MM" as a time input wants it. */
export function timeOfDay(minutes: number): string {
  const hours = String(Math.floor(minutes / 60)).padStart(2, "0");
  return `${hours}:${String(minutes % 60).padStart(2, "0")}`;
}

export function addDays(date: string, days: number): string {
  return new Date(Date.parse(`${date}T00:00:00Z`) + days * MS_PER_DAY).toISOString().slice(0, 10);
}

/** ISO weekday, 1 Monday to 7 Sunday. */
export function weekdayOf(date: string): number {
  return new Date(`${date}T00:00:00Z`).getUTCDay() || 7;
}

export function daysBetween(from: string, to: string): number {
  return Math.round((Date.parse(`${to}T00:00:00Z`) - Date.parse(`${from}T00:00:00Z`)) / MS_PER_DAY);
}
