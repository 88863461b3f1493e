import { StateWord } from "../../components/StateShape";
import { formatNearDay, formatTime } from "../../format/time";
import { useJob } from "../../queries/job";
import type { JobCard } from "../../queries/jobs";
import { usePlan } from "../../queries/plan";
import { t } from "../../text";
import { calledOffWords } from "../parts/called-off";
import { headlineWords } from "../parts/plan-words";
import { wordsFor } from "../parts/unit-words";

/** The job that is next on the calendar first; jobs without a visit after them. */
export function byNextVisit(a: JobCard, b: JobCard): number {
  const when = (job: JobCard) => job.next_visit?.starts_at ?? "9999";
  return when(a).localeCompare(when(b)) || a.name.localeCompare(b.name);
}

function visitWords(job: JobCard): string {
  const visit = job.next_visit;
  if (!visit) return t("start.no_visit");
  const where = { zone: job.time_zone };
  return t("start.visit", {
    day: formatNearDay(visit.starts_at, { ...where, now: Date.now() / 1000 }),
    time: formatTime(visit.starts_at, where),
    purpose: wordsFor("purpose", visit.purpose),
  });
}

/** What the plan says of a job. It comes a moment after the list: the list does not wait for it. */
function Headline({ jobId }: { jobId: string }) {
  const view = useJob(jobId).value;
  const plan = usePlan(jobId).value;
  if (!view || !plan) return null;
  return <p class="job-card-head">{headlineWords({ view, plan }).head}</p>;
}

/** It stood here before, perhaps when it was last looked at. */
function CalledOff({ job }: { job: JobCard }) {
  const words = calledOffWords(job.visits, { zone: job.time_zone, now_s: Date.now() / 1000 });
  return words ? (
    <p>
      <StateWord state="not_applicable">{words}</StateWord>
    </p>
  ) : null;
}

type Props = { job: JobCard; headline: "shown" | "none" };

export function JobRowCard({ job, headline }: Props) {
  const share = job.steps_total === 0 ? 0 : (100 * job.steps_done) / job.steps_total;
  return (
    <a class="job-card" href={`/job/${job.id}`}>
      <h2>{job.name}</h2>
      <p class="quiet-text">{job.address}</p>
      <p class="job-card-visit">{visitWords(job)}</p>
      <CalledOff job={job} />
      {headline === "shown" && <Headline jobId={job.id} />}
      <svg class="job-card-pipe" width="100%" height="14" aria-hidden="true">
        <rect class="pipe-wall" x="1" y="2" width="99%" height="10" rx="5" />
        {share > 0 && (
          <rect class="pipe-flow" x="1" y="2" width={`${share * 0.99}%`} height="10" rx="5" />
        )}
      </svg>
      <p>{t("start.steps", { done: job.steps_done, total: job.steps_total })}</p>
      <p class="row">
        {job.issues_open > 0 && (
          <StateWord state="open">{t("start.open", { count: job.issues_open })}</StateWord>
        )}
        {job.issues_answered > 0 && (
          <StateWord state="answered">
            {t("start.answered", { count: job.issues_answered })}
          </StateWord>
        )}
        {job.issues_open + job.issues_answered === 0 && <span>{t("start.no_issues")}</span>}
      </p>
      {job.waiting > 0 && <p class="quiet-text">{t("start.waiting", { count: job.waiting })}</p>}
      {job.invented && <p class="quiet-text">{t("common.invented")}</p>}
    </a>
  );
}
