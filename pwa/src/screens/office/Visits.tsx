import { StateWord } from "../../components/StateShape";
import { formatDay, formatDayTime, formatDuration } from "../../format";
import type { VisitRow } from "../../local/rows";
import type { JobView } from "../../queries/job";
import { isStanding } from "../../queries/visits";
import { t } from "../../text";
import { VisitShape } from "../board/VisitShape";
import { ChangeVisit } from "./ChangeVisit";
import { VisitSummaryLines } from "./VisitSummaryLines";

type Props = { view: JobView; now: number };

export function Visits({ view, now }: Props) {
  const visits = [...view.visits].sort((a, b) => b.starts_at.localeCompare(a.starts_at));
  return (
    <section>
      <h2 class="section-title">{t("office.visits")}</h2>
      {visits.length === 0 && <p class="office-none">{t("office.visits_none")}</p>}
      <ul>
        {visits.map((visit) => (
          <li key={visit.id} class="office-visit stack">
            <Head visit={visit} zone={view.job.time_zone} now={now} />
            {visit.note && <p>{t("office.visit_note", { note: visit.note })}</p>}
            {visit.summary && <VisitSummaryLines summary={visit.summary} view={view} />}
            {isStanding(visit) && <ChangeVisit visit={visit} job={view.job} />}
          </li>
        ))}
      </ul>
    </section>
  );
}

function stateOf(visit: VisitRow, { zone, now }: { zone: string; now: number }) {
  if (visit.state === "closed") {
    const day = visit.closed_at ? formatDay(visit.closed_at, { zone }) : "";
    return <StateWord state="done">{t("office.visit.closed", { day })}</StateWord>;
  }
  if (visit.state === "cancelled") {
    return <StateWord state="not_applicable">{t("office.visit.cancelled")}</StateWord>;
  }
  const isToday = formatDay(visit.starts_at, { zone }) === formatDay(now, { zone });
  const hasBegun = Date.parse(visit.starts_at) <= now * 1000;
  const key = isToday ? "today" : hasBegun ? "open" : "planned";
  return (
    <span class="state-word">
      <VisitShape size="small" />
      <span>{t(`office.visit.${key}`)}</span>
    </span>
  );
}

function Head({ visit, zone, now }: { visit: VisitRow; zone: string; now: number }) {
  return (
    <>
      <div class="office-visit-head">
        <h3>{t(`purpose.${visit.purpose}`)}</h3>
        {stateOf(visit, { zone, now })}
      </div>
      <p>
        {t("office.visit_when", {
          when: formatDayTime(visit.starts_at, { zone }),
          hours: formatDuration(visit.planned_s),
          person: visit.person_name ?? t("board.nobody"),
        })}
      </p>
      {visit.pending && <p class="quiet-text">{t("office.visit_pending")}</p>}
    </>
  );
}
