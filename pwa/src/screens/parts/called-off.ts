import { daysFrom, formatNearDay } from "../../format/time";
import type { VisitRow } from "../../local/rows";
import { session } from "../../local/session";
import { byStart } from "../../queries/visits";
import { t } from "../../text";
import { wordsFor } from "./unit-words";

type When = { zone: string; now_s: number };

/** What this person was to do today or later and need not: the last they read of it may be that it is on. */
function calledOff(visits: readonly VisitRow[], { zone, now_s }: When): VisitRow | undefined {
  const mine = session.value?.principal_id;
  return visits
    .filter(({ state, person_id }) => state === "cancelled" && person_id === mine)
    .filter(({ starts_at }) => daysFrom(starts_at, { to: now_s, zone }) <= 0)
    .toSorted(byStart)[0];
}

/** "Called off: tomorrow · Part two, test run"; null where nothing was. */
export function calledOffWords(visits: readonly VisitRow[], when: When): string | null {
  const visit = calledOff(visits, when);
  if (!visit) return null;
  const day = formatNearDay(visit.starts_at, { zone: when.zone, now: when.now_s });
  return t("visit.called_off", { day, purpose: wordsFor("purpose", visit.purpose) });
}
