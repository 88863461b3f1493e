import { ButtonLink } from "../../components/Button";
import { EmptyState } from "../../components/EmptyState";
import { Screen } from "../../components/Screen";
import { Skeleton } from "../../components/Skeleton";
import { TopBar } from "../../components/TopBar";
import type { JobView } from "../../queries/job";
import { usePlan } from "../../queries/plan";
import { t } from "../../text";
import { calledOffWords } from "../parts/called-off";
import { markInvented } from "../parts/invented";
import { JobGate } from "../parts/JobGate";
import { JobTabs } from "../parts/JobTabs";
import { LiveSync } from "../parts/LiveSync";
import { currentVisit } from "../parts/unit-words";
import { CloseVisit } from "./CloseVisit";

export default function Leave({ id }: { id: string }) {
  return (
    <JobGate id={id} back={`/job/${id}`}>
      {(view) => <Page view={view} />}
    </JobGate>
  );
}

function NoVisit({ view }: { view: JobView }) {
  const zone = view.job.time_zone;
  const calledOff = calledOffWords(view.visits, { zone, now_s: Date.now() / 1000 });
  return (
    <EmptyState title={t("leave.no_visit")}>
      <p>{calledOff ?? t("leave.no_visit_hint")}</p>
      <ButtonLink href="/">{t("common.to_start")}</ButtonLink>
    </EmptyState>
  );
}

function Page({ view }: { view: JobView }) {
  const plan = usePlan(view.job.id).value;
  const visit = currentVisit(view);
  if (plan && visit) return <CloseVisit view={view} plan={plan} visit={visit} />;
  return (
    <Screen
      name={t("leave.title")}
      top={
        <TopBar
          title={t("leave.title")}
          under={markInvented(view.job.name, view)}
          back={`/job/${view.job.id}`}
        />
      }
      bottom={<JobTabs view={view} here={`/job/${view.job.id}/leave`} />}
    >
      <LiveSync />
      {visit ? <Skeleton /> : <NoVisit view={view} />}
    </Screen>
  );
}
