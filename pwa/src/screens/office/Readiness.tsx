import { PlanChart, readyWords } from "../../components/PlanChart";
import { StateShape } from "../../components/StateShape";
import { formatDayTime, formatDuration, formatTime } from "../../format";
import { wallClock } from "../../format/zoned";
import type { JobView } from "../../queries/job";
import { t } from "../../text";
import type { JobPlan } from "../../trade/types";
import { comingVisit, standingOf } from "../board/standing";
import { WaitsCell } from "../board/WaitsCell";
import { waitsOf } from "../board/waits";
import { workName } from "../parts/plan-words";

type Props = { view: JobView; plan: JobPlan | undefined; now: number };

/** How ready the site is: what it waits for, the plan as bars, and how long the visit takes. */
export function Readiness({ view, plan, now }: Props) {
  const zone = view.job.time_zone;
  // A job made on this device has no steps until the server has made them: nothing is known to be done.
  if (!plan || view.steps.length === 0) return <Unknown view={view} />;
  const { date: today } = wallClock(now * 1000, { zone });
  const standing = standingOf(plan, { visits: view.visits, nowMs: now * 1000 });
  const visit = comingVisit(view.visits, { nowMs: now * 1000 });
  return (
    <section class="plan-card stack">
      <div class="plan-head">
        <h2>{t("office.readiness")}</h2>
        <p class="quiet-text">{t("office.as_of", { time: formatTime(now, { zone }) })}</p>
      </div>
      {plan.state === "nothing_left" ? (
        <p class="state-word">
          <StateShape state="pass" says="shape" />
          {t("office.nothing_left")}
        </p>
      ) : (
        <>
          <WaitsCell waits={waitsOf(plan, { view, standing, today })} view={view} now={now} />
          <PlanChart
            plan={plan}
            zone={zone}
            now_s={now}
            booked={visit ?? null}
            nameOf={(id) => workName(id, { view, plan })}
          />
          <p>
            <b>{readinessWords(plan, { zone, now })}</b>
          </p>
          <p>
            {t("office.hours", {
              likely: formatDuration(plan.visit_s.likely),
              low: formatDuration(plan.visit_s.low),
              high: formatDuration(plan.visit_s.high),
            })}
          </p>
        </>
      )}
    </section>
  );
}

function readinessWords(plan: JobPlan, { zone, now }: { zone: string; now: number }): string {
  const { ready_at_best: best, ready_at: likely, ready_at_late: late } = plan;
  if (late <= best || best <= now) {
    return readyWords(plan, { zone, now_s: now });
  }
  return t("office.ready_both", {
    best: formatDayTime(best, { zone }),
    likely: formatDayTime(likely, { zone }),
    late: formatDayTime(late, { zone }),
  });
}

function Unknown({ view }: { view: JobView }) {
  const words = view.steps.length === 0 ? "office.steps_to_come" : "board.working_out";
  return (
    <section class="plan-card stack">
      <h2>{t("office.readiness")}</h2>
      <p class="quiet-text">{t(words)}</p>
    </section>
  );
}
