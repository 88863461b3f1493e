import { Screen } from "../../components/Screen";
import { Skeleton } from "../../components/Skeleton";
import { TopBar } from "../../components/TopBar";
import { formatDay } from "../../format";
import type { Session } from "../../local/session";
import { type JobView, useJob } from "../../queries/job";
import { isPast, useNow } from "../../queries/now";
import { usePlan } from "../../queries/plan";
import { useSync } from "../../queries/sync";
import { t } from "../../text";
import { LiveBegun } from "../parts/LiveBegun";
import { LiveLost } from "../parts/LiveLost";
import { LiveSync } from "../parts/LiveSync";
import { LiveUpdate } from "../parts/LiveUpdate";
import { answerList } from "./answer-list";
import { IssueLists } from "./IssueLists";
import { LeftBehind } from "./LeftBehind";
import { LinkProblem } from "./LinkProblem";
import { AnswerButton, LinkRests, type LinkStanding, PageEnd } from "./page-parts";
import { ReturnVisit } from "./ReturnVisit";

type Props = { who: Session; jobId: string };

/**
 * Over by its day, or because the office withdrew it; or only to be opened again, since nobody had used it for
 * hours. What is on the phone stays readable in each case.
 */
function useStanding(who: Session): LinkStanding {
  // Read, so that a day which ends while the page is open is noticed.
  useNow().value;
  const sync = useSync().value;
  const isOut = sync.online && !sync.signed_in;
  if ((who.expires_at && isPast(who.expires_at)) || (isOut && sync.is_over)) return "link_ended";
  return isOut ? "link_again" : "live";
}

export function AnswerPage({ who, jobId }: Props) {
  const view = useJob(jobId).value;
  const standing = useStanding(who);
  const sync = useSync().value;
  const { stuck } = sync;
  if (view) return <Loaded who={who} view={view} standing={standing} />;
  const isStuck = view === null && !sync.online;
  return (
    <Screen name={t("answer.before_return")} top={<TopBar title="flarenut" under={who.firm} />}>
      {standing !== "live" && <LinkProblem trouble={standing} company={who.company_name} />}
      {isStuck && standing === "live" && <LinkProblem trouble="link_offline" />}
      {!isStuck && standing === "live" && (
        <>
          <LiveSync />
          {stuck && (
            <p role="status">
              {t(stuck === "phone_full" ? "sync.stuck_phone_full" : "sync.stuck_silent")}
            </p>
          )}
          <Skeleton />
        </>
      )}
    </Screen>
  );
}

/** A withdrawn link has ended before its day, so that day is no longer told. */
function underTitle(who: Session, { zone, isEnded }: { zone: string; isEnded: boolean }): string {
  const firm = who.firm ?? who.name;
  if (isEnded || !who.expires_at) return t("answer.for_firm_only", { firm });
  return t("answer.for_firm", { firm, day: formatDay(who.expires_at, { zone }) });
}

type LoadedProps = { who: Session; view: JobView; standing: LinkStanding };

function Loaded({ who, view, standing }: LoadedProps) {
  const { job } = view;
  const now = useNow().value;
  const plan = usePlan(job.id).value;
  const list = answerList(view, { plan });
  const next = list.open.find((issue) => !issue.promised_on) ?? list.open[0];
  const under = underTitle(who, { zone: job.time_zone, isEnded: standing === "link_ended" });
  return (
    <Screen
      name={job.name}
      top={<TopBar title={job.name} under={under} you="shown" />}
      bottom={next && <AnswerButton issue={next} />}
    >
      <LiveSync />
      <LiveLost />
      <LiveUpdate />
      {standing !== "live" && <LinkRests standing={standing} company={who.company_name} />}
      <LeftBehind who={who} />
      <LiveBegun />
      {plan ? (
        <ReturnVisit plan={plan} view={view} now={now} />
      ) : (
        <p class="quiet-text">{t("answer.plan_missing")}</p>
      )}
      <IssueLists list={list} plan={plan} view={view} now={now} />
      <PageEnd job={job} />
    </Screen>
  );
}
