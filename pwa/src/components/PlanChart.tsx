import { formatDay, formatDayTime, formatDuration, formatWeekday } from "../format/time";
import { t } from "../text";
import {
  type BarKind,
  type BookedVisit,
  type Drawing,
  drawPlan,
  type PlanBars,
  worksBefore,
} from "./plan-drawing";

type Props = {
  plan: PlanBars;
  zone: string;
  now_s: number;
  booked?: BookedVisit | null;
  /** What a bar stands for, for people who listen. */
  nameOf: (id: string) => string;
};

const BAR_KINDS: BarKind[] = ["work", "hold", "promise"];
const LANE_PX = 15;
const BAR_PX = 12;
/** More lanes than this make the calendar taller than it is useful. */
const MOST_LANES = 6;
/** Narrower than this share of the width, two names of days run into each other. */
const LEAST_LABEL = 11;

function Bars({ drawing, height }: { drawing: Drawing; height: number }) {
  const { days, bars, best, spread, visit } = drawing;
  return (
    <svg class="plan-drawing" width="100%" height={height + 6} aria-hidden="true">
      {days.map((day) => (
        <line
          key={day.date}
          class="plan-grid"
          x1={`${day.at}%`}
          x2={`${day.at}%`}
          y1="0"
          y2={height}
        />
      ))}
      {spread && (
        <rect
          class="plan-spread"
          x={`${spread.from}%`}
          width={`${spread.width}%`}
          y="2"
          height={height - 4}
        />
      )}
      {bars.map((bar) => (
        <rect
          key={bar.work.id}
          class={`plan-${bar.kind}`}
          x={`${bar.from}%`}
          width={`${bar.width}%`}
          y={(bar.lane % MOST_LANES) * LANE_PX + 2}
          height={BAR_PX}
          rx="2"
        />
      ))}
      {best !== null && (
        <line class="plan-best" x1={`${best}%`} x2={`${best}%`} y1="0" y2={height} />
      )}
      {visit && (
        <rect
          class={`plan-visit-${visit.kind}`}
          x={`${visit.from}%`}
          width={`${visit.width}%`}
          y={height / 2 - 12}
          height="24"
          rx="4"
        />
      )}
      <line class="plan-axis" x1="0" x2="100%" y1={height} y2={height} />
    </svg>
  );
}

/** "Ready Fri 27 Nov, 16:00 at best, 8 in 10 chances by Tue 1 Dec.": a chance is not known to the hour. */
export function readyWords(
  plan: PlanBars,
  { zone, now_s }: { zone: string; now_s: number },
): string {
  const { ready_at_best: best, ready_at_p80: sure } = plan;
  if (best === null) return t("plan.unknown");
  if (best <= now_s) return t("plan.ready_now");
  const values = { best: formatDayTime(best, { zone }) };
  if (sure === null || sure <= best) return t("plan.ready_one", values);
  return t("plan.ready_both", { ...values, day: formatDay(sure, { zone }) });
}

function spokenWords({ plan, zone, nameOf, now_s }: Props): string {
  const works = worksBefore(plan).map((work) =>
    t("plan.work_words", {
      name: nameOf(work.id),
      from: formatDayTime(work.start_s, { zone }),
      to: formatDayTime(work.finish_s, { zone }),
    }),
  );
  const visit =
    plan.visit_start_at === null
      ? []
      : [
          t("plan.visit_words", {
            from: formatDayTime(plan.visit_start_at, { zone }),
            hours: formatDuration(plan.visit_s.likely),
          }),
        ];
  return [...works, readyWords(plan, { zone, now_s }), ...visit].join(" ");
}

function Key({ drawing }: { drawing: Drawing }) {
  const kinds = BAR_KINDS.filter((kind) => drawing.bars.some((bar) => bar.kind === kind));
  const box = (look: string) => (
    <svg width="18" height="12" aria-hidden="true">
      <rect class={look} x="1" y="1" width="16" height="10" rx="2" />
    </svg>
  );
  const stroke = (
    <svg width="8" height="16" aria-hidden="true">
      <line class="plan-best" x1="4" x2="4" y1="0" y2="16" />
    </svg>
  );
  return (
    <ul class="plan-key">
      {kinds.map((kind) => (
        <li key={kind}>
          {box(`plan-${kind}`)}
          {t(`plan.${kind}`)}
        </li>
      ))}
      {drawing.best !== null && (
        <li>
          {stroke}
          {t("plan.best")}
        </li>
      )}
      {drawing.spread && (
        <li>
          {box("plan-spread")}
          {t("plan.spread")}
        </li>
      )}
      {drawing.visit && (
        <li>
          {box(`plan-visit-${drawing.visit.kind}`)}
          {t(drawing.visit.kind === "booked" ? "plan.visit" : "plan.visit_proposed")}
        </li>
      )}
    </ul>
  );
}

/** The return plan as bars on a calendar of the site, with the same told in words. */
export function PlanChart(props: Props) {
  const { plan, zone, now_s, booked = null } = props;
  const drawing = drawPlan(plan, { zone, now_s, booked });
  const height = Math.max(56, Math.min(drawing.lanes, MOST_LANES) * LANE_PX + 6);
  const every = Math.ceil(LEAST_LABEL / (100 / drawing.days.length));
  return (
    <figure class="plan">
      <Bars drawing={drawing} height={height} />
      <div class="plan-days" aria-hidden="true">
        {drawing.days.map(
          (day, index) =>
            index % every === 0 && (
              <span key={day.date} style={{ insetInlineStart: `${day.at}%` }}>
                {formatWeekday(day.date, { zone })}
              </span>
            ),
        )}
      </div>
      <Key drawing={drawing} />
      <figcaption class="spoken">{t("plan.drawing", { words: spokenWords(props) })}</figcaption>
    </figure>
  );
}
