import { Button } from "../../components/Button";
import { formatDay, formatDayTime, formatDuration, formatTime } from "../../format";
import type { JobRow } from "../../local/rows";
import { useChance } from "../../queries/chance";
import { t } from "../../text";
import type { JobPlan } from "../../trade/types";
import { minutesOf } from "../board/calendar";
import { HowSure } from "../parts/HowSure";
import { chanceWords, isHopeful } from "../parts/sure-words";
import { proposedVisit, startsAt, type VisitForm } from "./visit-form";

type Props = {
  job: JobRow;
  plan: JobPlan;
  form: VisitForm;
  onTake: (proposed: Partial<VisitForm>) => void;
};

/** The hour that the plan proposes, and why that one. */
export function Proposal({ job, plan, form, onTake }: Props) {
  const zone = job.time_zone;
  const shiftS = (minutesOf(job.shift_end) - minutesOf(job.shift_start)) * 60;
  const proposed = proposedVisit(plan, { zone });
  if (plan.visit_start_at === null || !proposed) {
    return <p>{t("book.no_proposal")}</p>;
  }
  const startMs = startsAt({ ...form, ...proposed }, { zone });
  const isOneShift = plan.visit_s.likely <= shiftS;
  const isTaken =
    proposed.day === form.day && proposed.start === form.start && proposed.hours === form.hours;
  return (
    <section class="headline">
      <p>{t("book.proposal")}</p>
      <h2>
        {t("book.proposal_when", {
          day: formatDay(startMs / 1000, { zone }),
          time: formatTime(startMs / 1000, { zone }),
          hours: formatDuration(proposed.hours * 3600),
        })}
      </h2>
      <p>
        {t(isOneShift ? "book.proposal_why" : "book.proposal_why_days", {
          ready: formatDayTime(plan.ready_at, { zone }),
          low: formatDuration(plan.visit_s.low),
          high: formatDuration(plan.visit_s.high),
        })}
      </p>
      <SureOf job={job} at={startMs / 1000} />
      {!isTaken && <Button onPress={() => onTake(proposed)}>{t("book.take")}</Button>}
    </section>
  );
}

/** How likely the site is ready when the visit starts, and what that rests on. */
function SureOf({ job, at }: { job: JobRow; at: number }) {
  const chance = useChance(job.id, { at }).value;
  if (!chance) return <p>{t(chance === null ? "sure.failed" : "sure.coming")}</p>;
  return (
    <>
      <p>
        <b>{chanceWords(chance)}</b> {isHopeful(chance) && t("sure.if_begun")}
      </p>
      <HowSure chance={chance} />
    </>
  );
}

/** The same of an hour that somebody chose otherwise. */
export function ChosenHour({ job, plan, form }: Omit<Props, "onTake">) {
  const zone = job.time_zone;
  const proposed = proposedVisit(plan, { zone });
  if (form.day === "" || form.start === "") return null;
  if (proposed?.day === form.day && proposed.start === form.start) return null;
  return <ChanceThen job={job} at={startsAt(form, { zone }) / 1000} />;
}

function ChanceThen({ job, at }: { job: JobRow; at: number }) {
  const chance = useChance(job.id, { at }).value;
  return chance ? <p>{t("book.chosen", { words: chanceWords(chance) })}</p> : null;
}
