/** A chance in words: never finer than it is known. */
import { t } from "../../text";
import type { JobChance, Reason } from "../../trade/types";

const TENTHS = 10;
/** Nearer to never or to always than to the next tenth; 500 runs cannot tell it from certain. */
const EDGE = 0.05;

/** "About 8 in 10 chances that the site is ready by then." */
export function chanceWords({ chance }: Pick<JobChance, "chance">): string {
  if (chance < EDGE) return t("sure.chance_least");
  if (chance >= 1 - EDGE) return t("sure.chance_most");
  return t("sure.chance", { tenths: Math.round(chance * TENTHS) });
}

const HOPEFUL = new Set(["no_promise", "promise_overdue"]);

/** Work with no promised day, or a broken one, is taken to begin at once: the chance is a hopeful one. */
export function isHopeful({ reasons }: Pick<JobChance, "reasons">): boolean {
  return reasons.some((reason) => HOPEFUL.has(reason.code));
}

/** What the chance rests on; what holds for several issues is said once. */
export function groundsOf({ reasons }: Pick<JobChance, "reasons">): Reason[] {
  return reasons.filter(
    (reason, at) => reasons.findIndex((other) => other.code === reason.code) === at,
  );
}
