import { Notice } from "../../components/Notice";
import { formatDayTime, formatDuration } from "../../format";
import type { JobRow } from "../../local/rows";
import { t } from "../../text";
import type { JobPlan } from "../../trade/types";
import type { BookingDoubt } from "./visit-form";

type Of = { plan: JobPlan; job: JobRow };

/** What a dispatcher should know of the hour that is chosen; booking it stays possible. */
export function Doubts({ doubts, ...of }: Of & { doubts: BookingDoubt[] }) {
  return (
    <>
      {doubts.map((doubt) => (
        <Notice key={doubt} kind="doubt">
          <p>{doubtWords(doubt, of)}</p>
        </Notice>
      ))}
    </>
  );
}

function doubtWords(doubt: BookingDoubt, { plan, job }: Of): string {
  const when = (at: number) => formatDayTime(at, { zone: job.time_zone });
  return t(`book.${doubt}`, {
    best: when(plan.ready_at_best),
    ready: when(plan.ready_at),
    from: job.shift_start,
    to: job.shift_end,
    likely: formatDuration(plan.visit_s.likely),
  });
}
