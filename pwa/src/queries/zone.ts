/**
 * The clock of a site as the engine needs it: the offset from UTC now, and each change of it in the
 * next months. The engine itself knows no time zones.
 */

/** As far ahead as a return plan may reach (P). */
const DAYS_AHEAD = 120;
const DAY_S = 86_400;

export type Zone = {
  utc_offset_s: number;
  changes: { at_s: number; utc_offset_s: number }[];
};

export function zoneAhead(time_zone: string, now_s: number): Zone {
  const offset = offsetIn(time_zone);
  const utc_offset_s = offset(now_s);
  const changes: Zone["changes"] = [];
  let before = utc_offset_s;
  for (let day = 1; day <= DAYS_AHEAD; day += 1) {
    const end_s = now_s + day * DAY_S;
    const after = offset(end_s);
    if (after !== before) {
      changes.push({ at_s: changeBetween(offset, [end_s - DAY_S, end_s]), utc_offset_s: after });
      before = after;
    }
  }
  return { utc_offset_s, changes };
}

/** The first second with the later offset, found by halving. */
function changeBetween(offset: (at_s: number) => number, [from_s, to_s]: [number, number]): number {
  const before = offset(from_s);
  let [low, high] = [from_s, to_s];
  while (high - low > 1) {
    const middle = Math.floor((low + high) / 2);
    if (offset(middle) === before) {
      low = middle;
    } else {
      high = middle;
    }
  }
  return high;
}

function offsetIn(time_zone: string): (at_s: number) => number {
  const clock = new Intl.DateTimeFormat("en-GB", {
    timeZone: time_zone,
    hourCycle: "h23",
    year: "numeric",
    month: "numeric",
    day: "numeric",
    hour: "numeric",
    minute: "numeric",
    second: "numeric",
  });
  return (at_s) => {
    const read: Record<string, number> = {};
    for (const { type, value } of clock.formatToParts(at_s * 1000)) {
      read[type] = Number(value);
    }
    const { year = 0, month = 1, day = 1, hour = 0, minute = 0, second = 0 } = read;
    return Date.UTC(year, month - 1, day, hour, minute, second) / 1000 - at_s;
  };
}
