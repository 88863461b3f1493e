import { formatDayTime, formatSpan } from "../../../../format/time";
import type { HoldClock } from "../../../../queries/hold-due";
import { t } from "../../../../text";

/** Nobody lets a circuit stand for longer to settle it (P); and the day of such a reading needs a year. */
const LONGEST_S = 14 * 86_400;

/** "3 h 20 min more would settle it, at about Thu 26 Nov, 14:10." */
export function leftWords(
  { left_s, isDue }: HoldClock,
  { now_s, zone, isSettling = false }: { now_s: number; zone: string; isSettling?: boolean },
): string | null {
  const at = (after_s: number) => formatDayTime(now_s + after_s, { zone });
  if (isDue) return t("hold.due");
  if (left_s === null || left_s === 0) return null;
  const span = formatSpan(left_s);
  if (isSettling) return t("hold.settles_until", { span, when: at(left_s) });
  if (left_s > LONGEST_S) return t("hold.left_too_long", { span });
  return t("hold.left_until", { span, when: at(left_s) });
}
