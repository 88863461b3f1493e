import "../../text/checks";
import "./attention.css";
import { useState } from "preact/hooks";
import { EmptyState } from "../../components/EmptyState";
import { Screen } from "../../components/Screen";
import { Skeleton } from "../../components/Skeleton";
import { TopBar } from "../../components/TopBar";
import { session } from "../../local/session";
import { type AttentionItem, useAttention } from "../../queries/attention";
import { useEndedDrafts } from "../../queries/ended-drafts";
import { type JobCard, useJobs } from "../../queries/jobs";
import { t } from "../../text";
import { LiveSync } from "../parts/LiveSync";
import { EndedDrafts } from "./EndedDrafts";
import { JobTwoValues } from "./JobTwoValues";
import { SetAsideItem } from "./SetAsideItem";

/** What the server did not take as it was: nothing of it is lost, and a person decides. */
export default function Attention() {
  const items = useAttention().value;
  const jobs = useJobs().value;
  const ended = useEndedDrafts().value ?? [];
  const [twos, setTwos] = useState<ReadonlyMap<string, number>>(new Map());
  const twoCount = [...twos.values()].reduce((sum, count) => sum + count, 0);
  const asking = items?.filter((item) => !item.kept_at);
  const kept = items?.filter((item) => item.kept_at) ?? [];
  const isEmpty = items?.length === 0 && twoCount === 0 && ended.length === 0;
  const isLink = session.value?.as === "link";
  const home = isLink ? "/answer" : "/";
  return (
    <Screen name={t("attention.title")} top={<TopBar title={t("attention.title")} back={home} />}>
      <LiveSync attention="listed" />
      {(items === undefined || jobs === undefined) && <Skeleton />}
      {isEmpty && (
        <EmptyState title={t("attention.empty")}>
          <p>{t("attention.empty_hint")}</p>
        </EmptyState>
      )}
      {!isEmpty && items && <p>{t("attention.lead")}</p>}
      <Items items={asking ?? []} cards={items ?? []} jobs={jobs} />
      <EndedDrafts drafts={ended} />
      {(isLink ? [] : jobs)?.map((job) => (
        <JobTwoValues
          key={job.id}
          jobId={job.id}
          onCount={(count) => {
            if (twos.get(job.id) !== count) setTwos((known) => new Map(known).set(job.id, count));
          }}
        />
      ))}
      {kept.length > 0 && (
        <>
          <h2 class="section-title">{t("attention.kept")}</h2>
          <p class="quiet-text">{t("attention.kept_lead")}</p>
          <Items items={kept} cards={items ?? []} jobs={jobs} />
        </>
      )}
    </Screen>
  );
}

type ItemsProps = { items: AttentionItem[]; cards: AttentionItem[]; jobs: JobCard[] | undefined };

function Items({ items, cards, jobs }: ItemsProps) {
  return (
    <ul>
      {items.map((item) => (
        <SetAsideItem
          key={item.id}
          item={item}
          cards={cards}
          jobName={jobs?.find((job) => job.id === item.job_id)?.name}
        />
      ))}
    </ul>
  );
}
