import { readyWords } from "../../components/PlanChart";
import { formatDayTime, formatDuration } from "../../format";
import type { SurePlan } from "../../queries/chance";
import type { JobView } from "../../queries/job";
import { isStanding } from "../../queries/visits";
import { t } from "../../text";
import { comingVisit } from "./standing";

/** The drawn line as a sentence, for people who listen. */
export function lineWords(plan: SurePlan, { view, now }: { view: JobView; now: number }): string {
  const zone = view.job.time_zone;
  if (plan.state === "nothing_left") return t("board.waits.nothing_left");
  const booked = view.visits.filter(isStanding).map((visit) =>
    t("board.line.booked", {
      when: formatDayTime(visit.starts_at, { zone }),
      hours: formatDuration(visit.planned_s),
    }),
  );
  const isProposed =
    !comingVisit(view.visits, { nowMs: now * 1000 }) && plan.visit_start_at !== null;
  const proposed = isProposed
    ? [
        t("board.line.proposed", {
          when: formatDayTime(plan.visit_start_at ?? 0, { zone }),
          hours: formatDuration(plan.visit_s.likely),
        }),
      ]
    : [];
  return [readyWords(plan, { zone, now_s: now }), ...booked, ...proposed].join(" ");
}
