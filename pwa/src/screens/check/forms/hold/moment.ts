/** When a reading was made: by the phone's clock, or as somebody typed it from paper or a watch. */
import { instantAt, wallClock } from "../../../../format/zoned";
import type { Point } from "../../../../queries/holds";

export type TypedTime = { date: string; time: string };
export type Moment = Pick<Point, "at" | "clock">;

/**
 * "clock_back": the phone's clock stands before the last reading, so it is asked for the time.
 * "taken": another reading has that moment. "half": day or time is missing still.
 */
export type MomentTrouble = "clock_back" | "taken" | "half";
export type MomentDoubt = "ahead";

export type Asked = {
  /** Null while the phone's own clock is taken. */
  typed: TypedTime | null;
  /** The reading that is corrected keeps its moment unless another is typed. */
  corrected: Point | null;
  /** All other readings of the hold. */
  others: Point[];
  now_ms: number;
  zone: string;
};
export type Told = { moment: Moment | null; trouble?: MomentTrouble; doubt?: MomentDoubt };

/** Nobody reads a gauge twice in a second: the engine takes no nearer ones. */
const APART_AT_LEAST_MS = 1000;
/** Two clocks of two phones may be a little apart; more than that is worth a word. */
const APART_MS = 90_000;

export function momentOf(asked: Asked): Told {
  const { typed, corrected, others, now_ms } = asked;
  if (typed) return typedMoment(typed, asked);
  if (corrected) return { moment: { at: corrected.at, clock: corrected.clock } };
  const last_ms = Math.max(...others.map((point) => Date.parse(point.at)), 0);
  if (others.length > 0 && now_ms < last_ms + APART_AT_LEAST_MS) {
    // Begun within a second of the last one, it is no clock that went back.
    if (isTooNear(now_ms, last_ms)) return { moment: phoneMoment(last_ms + APART_AT_LEAST_MS) };
    return { moment: null, trouble: "clock_back" };
  }
  return { moment: phoneMoment(now_ms) };
}

function isTooNear(one_ms: number, other_ms: number): boolean {
  return Math.abs(one_ms - other_ms) < APART_AT_LEAST_MS;
}

function phoneMoment(ms: number): Moment {
  return { at: new Date(ms).toISOString(), clock: "phone" };
}

function typedMoment({ date, time }: TypedTime, { others, now_ms, zone }: Asked): Told {
  if (date === "" || time === "") return { moment: null, trouble: "half" };
  const at_ms = instantAt(date, { time, zone });
  if (Number.isNaN(at_ms)) return { moment: null, trouble: "half" };
  const at = new Date(at_ms).toISOString();
  if (others.some((point) => isTooNear(Date.parse(point.at), at_ms))) {
    return { moment: null, trouble: "taken" };
  }
  const moment: Moment = { at, clock: "typed" };
  return at_ms > now_ms + APART_MS ? { moment, doubt: "ahead" } : { moment };
}

/** A moment as the two fields want it, on the clock of the site. */
export function typedTimeOf(ms: number, { zone }: { zone: string }): TypedTime {
  const { date, minutes } = wallClock(ms, { zone });
  const two = (value: number) => String(value).padStart(2, "0");
  return { date, time: `${two(Math.floor(minutes / 60))}:${two(minutes % 60)}` };
}
