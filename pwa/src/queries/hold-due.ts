/** How long a hold has run, and how long until it can be settled. No signal and no push: only asked. */
import type { Hold } from "./holds";

export type HoldClock = {
  elapsed_s: number;
  /** Until a reading can settle it; 0 when that time is over, null where nobody can say. */
  left_s: number | null;
  /** Its time is over, and the last reading was made before that. */
  isDue: boolean;
};

/** From the first reading on: the engine says what is left after the last one. */
export function neededS(hold: Hold): number | null {
  const left_s = hold.tip.outputs["hold_left_s"];
  if (typeof left_s !== "number" || !Number.isFinite(left_s)) return null;
  return lastS(hold) - startS(hold) + left_s;
}

const startS = ({ startedAt }: Hold) => Date.parse(startedAt) / 1000;
const lastS = ({ points, startedAt }: Hold) => Date.parse(points.at(-1)?.at ?? startedAt) / 1000;

/** A phone whose clock stands before the last reading has at least come that far. */
export function clockOf(hold: Hold, { now_s }: { now_s: number }): HoldClock {
  const started_s = startS(hold);
  const last_s = lastS(hold);
  const elapsed_s = Math.max(now_s, last_s) - started_s;
  const needed_s = neededS(hold);
  if (needed_s === null) return { elapsed_s, left_s: null, isDue: false };
  const isDue = elapsed_s >= needed_s && last_s - started_s < needed_s;
  return { elapsed_s, left_s: Math.max(0, needed_s - elapsed_s), isDue };
}
