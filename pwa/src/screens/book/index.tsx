import "../office/office.css";
import { useRoute } from "preact-iso/router";
import { EmptyState } from "../../components/EmptyState";
import { Screen } from "../../components/Screen";
import { Skeleton } from "../../components/Skeleton";
import { TopBar } from "../../components/TopBar";
import { useJob } from "../../queries/job";
import { usePlan } from "../../queries/plan";
import { t } from "../../text";
import { BookPage } from "./BookPage";

export default function Book() {
  const jobId = useRoute().params["id"] ?? "";
  const view = useJob(jobId).value;
  const plan = usePlan(jobId).value;
  if (view && plan) return <BookPage view={view} plan={plan} />;
  return (
    <Screen
      name={t("book.title")}
      top={<TopBar title={t("book.title")} back={`/job/${jobId}/office`} />}
    >
      {view === null ? (
        <EmptyState title={t("office.not_found")}>
          <p>{t("office.not_found_hint")}</p>
        </EmptyState>
      ) : (
        <Skeleton />
      )}
    </Screen>
  );
}
