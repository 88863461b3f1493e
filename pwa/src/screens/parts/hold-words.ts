/** How a hold stands, on lines that show it among other things. Nothing is pushed: it is said here. */
import { formatSpan } from "../../format/time";
import { clockOf } from "../../queries/hold-due";
import { type Hold, lastHold, STEP_OF, TIMED } from "../../queries/holds";
import type { JobView } from "../../queries/job";
import { t } from "../../text";

/** "Running for 18 h 40 min, 6 readings. 3 h 20 min more can settle it." */
export function holdWords(hold: Hold, { now_s }: { now_s: number }): string {
  const { elapsed_s, left_s, isDue } = clockOf(hold, { now_s });
  const running = t("hold.running", { span: formatSpan(elapsed_s), count: hold.points.length });
  const parts = [`${running}.`];
  if (isDue) parts.push(t("hold.due"));
  else if (left_s) parts.push(t("hold.left", { span: formatSpan(left_s) }));
  return parts.join(" ");
}

/** The hold that runs for a step of a system, if one does. */
export function holdOfStep(
  code: string,
  { view, systemId }: { view: JobView; systemId: string | null },
): Hold | undefined {
  const calculation = TIMED.find((one) => STEP_OF[one] === code);
  const hold = calculation && lastHold(calculation, { view, systemId });
  return hold?.state === "running" ? hold : undefined;
}
