import type { Standing } from "./standing";

/** What the board needs to know of a row to count, find and order it. */
export interface Facts {
  standing: Standing;
  /** Everything a person might type to find the job. */
  text: string;
  isLate: boolean;
  /** Seconds since the epoch; null when no day can be named. */
  readyAt: number | null;
}

const RANK: Record<Standing, number> = {
  begun: 1,
  to_book: 2,
  wait_contractor: 3,
  booked: 4,
  nothing_left: 5,
};

function rankOf({ standing, isLate }: Facts): number {
  return isLate ? 0 : RANK[standing];
}

/** Broken promises first, then what is on, then what can be booked; the sooner ready the higher. */
export function byUrgency(a: Facts | undefined, b: Facts | undefined): number {
  if (!a || !b) return Number(!a) - Number(!b);
  const never = Number.MAX_SAFE_INTEGER;
  return rankOf(a) - rankOf(b) || (a.readyAt ?? never) - (b.readyAt ?? never);
}
