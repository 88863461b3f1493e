import "../office/office.css";
import "../../text/office";
import { useRoute } from "preact-iso/router";
import { ButtonLink } from "../../components/Button";
import { EmptyState } from "../../components/EmptyState";
import { Screen } from "../../components/Screen";
import { Skeleton } from "../../components/Skeleton";
import { TopBar } from "../../components/TopBar";
import { type JobView, useJob } from "../../queries/job";
import { usePlan } from "../../queries/plan";
import { isStanding } from "../../queries/visits";
import { t } from "../../text";
import { LiveSync } from "../parts/LiveSync";
import { BookPage } from "./BookPage";
import { ChangePage } from "./ChangePage";

/** A new visit, or the one that the address names. */
export default function Book() {
  const { id: jobId = "", visit: visitId } = useRoute().params;
  const view = useJob(jobId).value;
  const plan = usePlan(jobId).value;
  const visit = visitId ? view?.visitById.get(visitId) : undefined;
  const isOver = visitId !== undefined && view && !(visit && isStanding(visit));
  if (view && plan && !isOver) {
    return visit ? (
      <ChangePage view={view} plan={plan} visit={visit} />
    ) : (
      <BookPage view={view} plan={plan} />
    );
  }
  const title = t(visitId ? "rebook.title" : "book.title");
  return (
    <Screen name={title} top={<TopBar title={title} back={`/job/${jobId}/office`} />}>
      <LiveSync />
      <Instead view={view} jobId={jobId} isOver={isOver === true} />
    </Screen>
  );
}

type InsteadProps = { view: JobView | null | undefined; jobId: string; isOver: boolean };

function Instead({ view, jobId, isOver }: InsteadProps) {
  if (view === null) {
    return (
      <EmptyState title={t("office.not_found")}>
        <p>{t("office.not_found_hint")}</p>
      </EmptyState>
    );
  }
  if (!isOver) return <Skeleton />;
  return (
    <EmptyState title={t("rebook.over")}>
      <p>{t("rebook.over_hint")}</p>
      <ButtonLink href={`/job/${jobId}/office`}>{t("office.back")}</ButtonLink>
    </EmptyState>
  );
}
