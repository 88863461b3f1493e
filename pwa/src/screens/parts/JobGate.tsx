import type { VNode } from "preact";
import { ButtonLink } from "../../components/Button";
import { EmptyState } from "../../components/EmptyState";
import { Screen } from "../../components/Screen";
import { Skeleton } from "../../components/Skeleton";
import { TopBar } from "../../components/TopBar";
import { useEndedDrafts } from "../../queries/ended-drafts";
import { type JobView, useJob } from "../../queries/job";
import { t } from "../../text";
import { LiveSync } from "./LiveSync";

type Props = { id: string; back: string; children: (view: JobView) => VNode };

/** Access may have ended under the hands of whoever was writing: what they wrote is kept, and they are told. */
function useWasBegun(jobId: string | undefined): boolean {
  const ended = useEndedDrafts().value ?? [];
  return ended.some((draft) => draft.job_id === jobId);
}

/** What is not on this phone is said plainly, with a way on. */
export function NotHere({ back, jobId }: { back: string; jobId?: string }) {
  const wasBegun = useWasBegun(jobId);
  return (
    <Screen name={t("common.not_found")} top={<TopBar title={t("common.not_found")} back={back} />}>
      <LiveSync />
      <EmptyState title={t("common.not_found")}>
        <p>{t("common.not_found_words")}</p>
        {wasBegun && <p>{t("common.not_found_kept")}</p>}
        <ButtonLink href="/">{t("common.to_start")}</ButtonLink>
      </EmptyState>
    </Screen>
  );
}

/** While the phone looks in its own store. */
export function Looking({ back }: { back: string }) {
  return (
    <Screen
      name={t("common.loading")}
      top={<TopBar title={t("common.loading_title")} back={back} />}
    >
      <LiveSync />
      <Skeleton />
    </Screen>
  );
}

/** Waits for the phone's own store, never for the network, then hands the job on. */
export function JobGate({ id, back, children }: Props) {
  const view = useJob(id).value;
  if (view === undefined) return <Looking back={back} />;
  return view === null ? <NotHere back={back} jobId={id} /> : children(view);
}
