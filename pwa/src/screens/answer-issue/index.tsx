import "./answer-issue.css";
import "../../text/contractor";
import { useRoute } from "preact-iso/router";
import { ButtonLink } from "../../components/Button";
import { EmptyState } from "../../components/EmptyState";
import { Screen } from "../../components/Screen";
import { Skeleton } from "../../components/Skeleton";
import { TopBar } from "../../components/TopBar";
import { session } from "../../local/session";
import { type JobView, useJob } from "../../queries/job";
import { t } from "../../text";
import { LiveSync } from "../parts/LiveSync";
import { AnswerIssuePage } from "./AnswerIssuePage";

export default function AnswerIssue() {
  const { params } = useRoute();
  const jobId = session.value?.job_id;
  if (!jobId) return <Missing view={null} />;
  return <InJob jobId={jobId} issueId={params["issue"] ?? ""} />;
}

function InJob({ jobId, issueId }: { jobId: string; issueId: string }) {
  const view = useJob(jobId).value;
  const issue = view?.issueById.get(issueId);
  if (!view || !issue) return <Missing view={view} />;
  return <AnswerIssuePage key={issueId} view={view} issue={issue} />;
}

function Missing({ view }: { view: JobView | null | undefined }) {
  return (
    <Screen
      name={t("answer_issue.title_new")}
      top={<TopBar title={t("answer_issue.your_answer")} back="/answer" />}
    >
      <LiveSync />
      {view === undefined ? (
        <Skeleton />
      ) : (
        <EmptyState title={t("answer_issue.not_found")}>
          <p>{t("answer_issue.not_found_hint")}</p>
          <ButtonLink href="/answer">{t("answer_issue.back")}</ButtonLink>
        </EmptyState>
      )}
    </Screen>
  );
}
