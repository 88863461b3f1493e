import "./office.css";
import "../../text/office";
import { useRoute } from "preact-iso/router";
import { ButtonLink } from "../../components/Button";
import { EmptyState } from "../../components/EmptyState";
import { Screen } from "../../components/Screen";
import { Skeleton } from "../../components/Skeleton";
import { TopBar } from "../../components/TopBar";
import { type JobView, useJob } from "../../queries/job";
import { useNow } from "../../queries/now";
import { usePlan } from "../../queries/plan";
import { t } from "../../text";
import { markInvented } from "../parts/invented";
import { LiveSync } from "../parts/LiveSync";
import { TwoValuesNotice } from "../parts/TwoValuesNotice";
import { IssueTable } from "./IssueTable";
import { Links } from "./Links";
import { Readiness } from "./Readiness";
import { Readings } from "./Readings";
import { Visits } from "./Visits";

/** The dispatcher's page of one job: how ready it is, its visits, its issues, the contractor's link. */
export default function Office() {
  const jobId = useRoute().params["id"] ?? "";
  const view = useJob(jobId).value;
  if (view) return <Loaded view={view} />;
  return (
    <Screen
      name={t("office.readiness")}
      top={<TopBar title={t("office.readiness")} back="/board" />}
    >
      <LiveSync />
      {view === undefined ? (
        <Skeleton />
      ) : (
        <EmptyState title={t("office.not_found")}>
          <p>{t("office.not_found_hint")}</p>
          <ButtonLink href="/board">{t("office.back")}</ButtonLink>
        </EmptyState>
      )}
    </Screen>
  );
}

function Loaded({ view }: { view: JobView }) {
  const { job } = view;
  const plan = usePlan(job.id).value;
  const now = useNow().value;
  return (
    <Screen
      name={job.name}
      width="wide"
      top={
        <TopBar
          title={job.name}
          under={markInvented(`${job.address} · ${job.contractor_firm}`, { job })}
          back="/board"
          you="shown"
        />
      }
      bottom={
        <div class="actions office-bottom">
          <ButtonLink href={`/job/${job.id}`}>{t("office.see_line")}</ButtonLink>
          <ButtonLink kind="primary" href={`/job/${job.id}/book`}>
            {t("office.book")}
          </ButtonLink>
        </div>
      }
    >
      <LiveSync />
      <TwoValuesNotice rows={[...view.issues, ...view.units, ...view.visits]} />
      <div class="office-columns">
        <div class="stack">
          <Readiness view={view} plan={plan} now={now} />
          <IssueTable view={view} now={now} />
        </div>
        <div class="stack">
          <Visits view={view} now={now} />
          <Readings view={view} />
          <Links job={job} />
        </div>
      </div>
    </Screen>
  );
}
