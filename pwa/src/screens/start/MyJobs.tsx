import { EmptyState } from "../../components/EmptyState";
import { Screen } from "../../components/Screen";
import { Skeleton } from "../../components/Skeleton";
import { TopBar } from "../../components/TopBar";
import { useJobs } from "../../queries/jobs";
import { t } from "../../text";
import { LiveBegun } from "../parts/LiveBegun";
import { LiveLost } from "../parts/LiveLost";
import { LiveSync } from "../parts/LiveSync";
import { LiveUpdate } from "../parts/LiveUpdate";
import { byNextVisit, JobRowCard } from "./JobRowCard";

export function MyJobs({ name, company }: { name: string; company: string }) {
  const jobs = useJobs().value;
  return (
    <Screen
      name={t("start.title")}
      top={<TopBar title={t("start.title")} under={`${name} · ${company}`} you="shown" />}
    >
      <LiveSync />
      <LiveLost />
      <LiveUpdate />
      <LiveBegun />
      {jobs === undefined && <Skeleton />}
      {jobs?.length === 0 && (
        <EmptyState title={t("start.empty")}>
          <p>{t("start.empty_hint")}</p>
        </EmptyState>
      )}
      <ul class="job-list">
        {jobs &&
          [...jobs].sort(byNextVisit).map((job, index) => (
            <li key={job.id}>
              <JobRowCard job={job} headline={index === 0 ? "shown" : "none"} />
            </li>
          ))}
      </ul>
    </Screen>
  );
}
