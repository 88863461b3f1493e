import { PlanChart, readyWords } from "../../components/PlanChart";
import { StateShape } from "../../components/StateShape";
import { formatDay, formatDayTime, formatDuration, formatTime } from "../../format";
import { wallClock } from "../../format/zoned";
import { type SurePlan, useChance, withChance } from "../../queries/chance";
import type { JobView } from "../../queries/job";
import { t } from "../../text";
import type { JobChance, JobPlan } from "../../trade/types";
import { comingVisit, standingOf } from "../board/standing";
import { WaitsCell } from "../board/WaitsCell";
import { waitsOf } from "../board/waits";
import { HowSure } from "../parts/HowSure";
import { workName } from "../parts/plan-words";

type Props = { view: JobView; plan: JobPlan | undefined; now: number };

/** How ready the site is: what it waits for, the plan as bars, and how long the visit takes. */
export function Readiness({ view, plan, now }: Props) {
  const zone = view.job.time_zone;
  // A job made on this device has no steps until the server has made them: nothing is known to be done.
  if (!plan || view.steps.length === 0) return <Unknown view={view} />;
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
        <Known view={view} plan={plan} now={now} />
      )}
    </section>
  );
}

/** The plan shows at once; how sure it is comes a moment later. */
function Known({ view, plan, now }: Props & { plan: JobPlan }) {
  const zone = view.job.time_zone;
  const { date: today } = wallClock(now * 1000, { zone });
  const standing = standingOf(plan, { visits: view.visits, nowMs: now * 1000 });
  const visit = comingVisit(view.visits, { nowMs: now * 1000 });
  const chance = useChance(view.job.id).value;
  const sure = withChance(plan, chance);
  return (
    <>
      <WaitsCell waits={waitsOf(plan, { view, standing, today })} view={view} now={now} />
      <PlanChart
        plan={sure}
        zone={zone}
        now_s={now}
        booked={visit ?? null}
        nameOf={(id) => workName(id, { view, plan })}
      />
      <p>
        <b>{readinessWords(sure, { zone, now })}</b>
      </p>
      <Sure plan={plan} chance={chance} />
      <p>
        {t("office.hours", {
          likely: formatDuration(plan.visit_s.likely),
          low: formatDuration(plan.visit_s.low),
          high: formatDuration(plan.visit_s.high),
        })}
      </p>
    </>
  );
}

function readinessWords(plan: SurePlan, { zone, now }: { zone: string; now: number }): string {
  const { ready_at_best: best, ready_at: likely, ready_at_p80: sure } = plan;
  if (likely <= best || best <= now) {
    return readyWords(plan, { zone, now_s: now });
  }
  const values = {
    best: formatDayTime(best, { zone }),
    likely: formatDayTime(likely, { zone }),
  };
  if (sure === null) return t("office.ready_likely", values);
  return t("office.ready_both", { ...values, day: formatDay(sure, { zone }) });
}

/** A site that waits for nothing is ready: there is no chance to be told. */
function Sure({ plan, chance }: { plan: JobPlan; chance: JobChance | null | undefined }) {
  if (plan.state !== "wait_contractor") return null;
  if (chance) return <HowSure chance={chance} />;
  return <p class="quiet-text">{t(chance === null ? "sure.failed" : "sure.coming")}</p>;
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
