import { PlanChart, readyWords } from "../../components/PlanChart";
import {
  daysFrom,
  formatDay,
  formatDayTime,
  formatDuration,
  formatTime,
  type Moment,
} from "../../format";
import { type SurePlan, useChance, withChance } from "../../queries/chance";
import type { JobView } from "../../queries/job";
import { useSync } from "../../queries/sync";
import { t } from "../../text";
import type { JobPlan } from "../../trade/types";
import { comingVisit } from "../board/standing";
import { issueTitle } from "../parts/issue-words";
import { workName } from "../parts/plan-words";
import { SureSource } from "../parts/SureSource";
import { gatesTestRun } from "./answer-list";

type Props = { plan: JobPlan; view: JobView; now: number };

/** The plan until the next visit: what it waits for, when the site can be ready, how long it takes. */
export function ReturnVisit({ plan, view, now }: Props) {
  const sync = useSync().value;
  const asOf = sync.online ? now : (sync.last_sent_at ?? now);
  const zone = view.job.time_zone;
  const visit = comingVisit(view.visits, { nowMs: now * 1000 });
  const chance = useChance(view.job.id).value;
  const sure = withChance(plan, chance);
  return (
    <section class="plan-card stack">
      <div class="plan-head">
        <h2>{t("answer.return_visit")}</h2>
        <p class="quiet-text">{t("answer.as_of", { time: asOfWords(asOf, { zone, now }) })}</p>
      </div>
      <PlanChart
        plan={sure}
        zone={zone}
        now_s={now}
        booked={visit ?? null}
        nameOf={(id) => workName(id, { view, plan })}
      />
      <p>
        <b>{likelyWords(sure, { zone, now })}</b>
      </p>
      <SureSource chance={chance} />
      <Gates plan={plan} view={view} />
      <p>{visitWords(plan)}</p>
      {visit && (
        <p>
          <b>{t("answer.visit_booked", { when: formatDayTime(visit.starts_at, { zone }) })}</b>
        </p>
      )}
    </section>
  );
}

/** The hour alone is enough today; older knowledge names its day. */
function asOfWords(asOf: Moment, { zone, now }: { zone: string; now: number }): string {
  const isToday = daysFrom(asOf, { to: now, zone }) === 0;
  return isToday ? formatTime(asOf, { zone }) : formatDayTime(asOf, { zone });
}

function likelyWords(plan: SurePlan, { zone, now }: { zone: string; now: number }): string {
  const { ready_at_best: best, ready_at: likely, ready_at_p80: sure } = plan;
  if (likely <= now || best >= likely) {
    return readyWords(plan, { zone, now_s: now });
  }
  const values = { best: formatDayTime(best, { zone }), likely: formatDayTime(likely, { zone }) };
  if (sure === null) return t("answer.ready_both", values);
  return t("answer.ready_sure", { ...values, day: formatDay(sure, { zone }) });
}

function visitWords({ visit_s }: JobPlan): string {
  return t("answer.visit_hours", {
    likely: formatDuration(visit_s.likely),
    low: formatDuration(visit_s.low),
    high: formatDuration(visit_s.high),
  });
}

function Gates({ plan, view }: { plan: JobPlan; view: JobView }) {
  const issues = [...gatesTestRun(plan)]
    .map((id) => view.issueById.get(id))
    .filter((one) => one !== undefined);
  if (issues.length === 0) return <p>{t("answer.gates_none")}</p>;
  return (
    <div>
      <p>{t("answer.gates_title")}</p>
      <ul class="answer-gates">
        {issues.map((issue) => (
          <li key={issue.id}>
            {issue.number === null
              ? t("answer.gates_issue_new", { words: issueTitle(issue) })
              : t("answer.gates_issue", { number: issue.number, words: issueTitle(issue) })}
          </li>
        ))}
      </ul>
    </div>
  );
}
