import { useEffect, useState } from "preact/hooks";
import { Button } from "../../components/Button";
import { Notice } from "../../components/Notice";
import { formatBytes } from "../../format";
import { refreshStorage, requestPersist, storageState } from "../../offline/storage";
import { type JobCard, useJobs } from "../../queries/jobs";
import { t } from "../../text";
import { StoredKinds } from "./StoredKinds";
import { isLow, leftBytes } from "./storage-words";

const MOST_NAMES = 5;

/** A few by name; a dispatcher's many by their number. */
function jobWords(jobs: JobCard[]): string {
  const names = jobs.map((job) => job.name);
  return names.length > 0 && names.length <= MOST_NAMES ? names.join(", ") : String(names.length);
}

/** What lies on this device, how much more fits, and whether the browser promised to keep it. */
export function StorageCard() {
  const stored = storageState.value;
  const jobs = useJobs().value;
  const [isRefused, setRefused] = useState(false);
  useEffect(() => void refreshStorage(), []);

  const ask = async () => {
    await requestPersist();
    setRefused(!storageState.value?.persistent);
  };
  const unknown = t("you.storage.unknown");
  return (
    <section class="you-part stack">
      <h2>{t("you.storage")}</h2>
      <dl class="facts">
        <dt>{t("you.storage.jobs")}</dt>
        <dd>{jobs ? jobWords(jobs) : ""}</dd>
        <StoredKinds />
        <dt>{t("you.storage.used")}</dt>
        <dd>{stored ? formatBytes(stored.used_bytes) : unknown}</dd>
        <dt>{t("you.storage.left")}</dt>
        <dd>{stored && stored.quota_bytes > 0 ? formatBytes(leftBytes(stored)) : unknown}</dd>
        <dt>{t("you.storage.kept")}</dt>
        <dd>{t(stored?.persistent ? "you.storage.kept_yes" : "you.storage.kept_no")}</dd>
      </dl>
      <p class="quiet-text">{t("you.storage.sent_hint")}</p>
      {stored && isLow(stored) && (
        <Notice kind="doubt">
          <p>{t("you.storage.low")}</p>
        </Notice>
      )}
      {stored && !stored.persistent && (
        <>
          <p class="quiet-text">{t(isRefused ? "you.storage.refused" : "you.storage.kept_hint")}</p>
          <Button onPress={() => void ask()}>{t("you.storage.ask")}</Button>
        </>
      )}
    </section>
  );
}
