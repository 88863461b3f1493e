import type { VNode } from "preact";
import { ButtonLink } from "../../components/Button";
import { EmptyState } from "../../components/EmptyState";
import { Screen } from "../../components/Screen";
import { Skeleton } from "../../components/Skeleton";
import { TopBar } from "../../components/TopBar";
import { type JobView, useJob } from "../../queries/job";
import { t } from "../../text";

type Props = { id: string; back: string; children: (view: JobView) => VNode };

/** What is not on this phone is said plainly, with a way on. */
export function NotHere({ back }: { back: string }) {
  return (
    <Screen name={t("common.not_found")} top={<TopBar title={t("common.not_found")} back={back} />}>
      <EmptyState title={t("common.not_found")}>
        <p>{t("common.not_found_words")}</p>
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
      <Skeleton />
    </Screen>
  );
}

/** Waits for the phone's own store, never for the network, then hands the job on. */
export function JobGate({ id, back, children }: Props) {
  const view = useJob(id).value;
  if (view === undefined) return <Looking back={back} />;
  return view === null ? <NotHere back={back} /> : children(view);
}
