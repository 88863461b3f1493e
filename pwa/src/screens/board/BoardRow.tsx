import { useEffect, useMemo } from "preact/hooks";
import { ButtonLink } from "../../components/Button";
import { wallClock } from "../../format/zoned";
import { useChance, withChance } from "../../queries/chance";
import { type JobView, useJob } from "../../queries/job";
import type { JobCard } from "../../queries/jobs";
import { usePlan } from "../../queries/plan";
import { t } from "../../text";
import { minutesOf } from "./calendar";
import type { Facts } from "./facts";
import { LineDrawing } from "./LineDrawing";
import { lineWords } from "./line-words";
import { readinessLine } from "./readiness-line";
import { SureWords } from "./SureWords";
import { searchTextOf } from "./search";
import { underSite } from "./site-words";
import { isBookable, standingOf } from "./standing";
import { WaitsCell } from "./WaitsCell";
import { type Waits, waitsOf } from "./waits";

type Props = {
  job: JobCard;
  days: readonly string[];
  now: number;
  isShown: boolean;
  onFacts: (jobId: string, facts: Facts) => void;
};

/** A row that is filtered away stays alive, so that its count and its place stay right. */
export function BoardRow(props: Props) {
  const view = useJob(props.job.id).value;
  return view ? <Row {...props} view={view} /> : null;
}

function isLate(waits: Waits | undefined): boolean {
  return waits?.kind === "issue" && waits.daysLate !== null;
}

function Row({ job, days, now, isShown, onFacts, view }: Props & { view: JobView }) {
  const plan = usePlan(job.id).value;
  const chance = useChance(job.id).value;
  const zone = job.time_zone;
  const nowMs = now * 1000;
  const { date: today } = wallClock(nowMs, { zone });
  const standing = standingOf(plan, { visits: view.visits, nowMs });
  const waits = waitsOf(plan, { view, standing, today });
  const text = useMemo(() => searchTextOf(view), [view]);
  const late = isLate(waits);
  const readyAt = plan?.ready_at ?? null;
  useEffect(() => {
    onFacts(job.id, { standing, text, isLate: late, readyAt });
  }, [job.id, standing, text, late, readyAt]);
  if (!isShown) return null;

  const shift = { from: minutesOf(job.shift_start), to: minutesOf(job.shift_end) };
  const calendar = { days, zone, shift };
  const sure = plan && withChance(plan, chance);
  const line = sure && readinessLine(sure, { visits: view.visits, calendar, nowMs });
  return (
    <li class="board-grid board-row">
      <div class="board-site">
        <h2>
          <a href={`/job/${job.id}/office`}>{job.name}</a>
        </h2>
        <p class="quiet-text">{underSite(view)}</p>
      </div>
      <WaitsCell waits={waits} view={view} now={now} />
      <div class="board-line">
        {line ? (
          <LineDrawing line={line} days={days} />
        ) : (
          <p class="quiet-text">{t("board.working_out")}</p>
        )}
        {sure && <p class="spoken">{lineWords(sure, { view, now })}</p>}
        {sure && <SureWords plan={sure} chance={chance} zone={zone} />}
      </div>
      <div class="board-actions">
        {isBookable(plan, { standing }) ? (
          <ButtonLink kind="primary" href={`/job/${job.id}/book`}>
            {t("board.book")}
            <span class="spoken">, {job.name}</span>
          </ButtonLink>
        ) : (
          <ButtonLink href={`/job/${job.id}/office`}>
            {t("board.open")}
            <span class="spoken"> {job.name}</span>
          </ButtonLink>
        )}
      </div>
    </li>
  );
}
