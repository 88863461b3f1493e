import { useEffect, useState } from "preact/hooks";
import { Button } from "../../components/Button";
import { Notice } from "../../components/Notice";
import { formatBytes } from "../../format";
import { currentStore } from "../../local/current";
import { findRoom, isPhoneFull } from "../../local/disk";
import {
  refreshStorage,
  requestPersist,
  type StorageState,
  storageState,
} from "../../offline/storage";
import { type JobCard, useJobs } from "../../queries/jobs";
import { t } from "../../text";
import { StoredKinds } from "./StoredKinds";
import { isLow, leftWords } from "./storage-words";

const MOST_NAMES = 5;

/** A few by name; a dispatcher's many by their number. */
function jobWords(jobs: JobCard[]): string {
  const names = jobs.map((job) => job.name);
  return names.length > 0 && names.length <= MOST_NAMES ? names.join(", ") : String(names.length);
}

/** Room that is made meanwhile is noticed while somebody looks. (P) */
const LOOK_AGAIN_MS = 5_000;

function lookAgainAndAgain(): () => void {
  const look = async () => {
    await refreshStorage();
    if (currentStore.value) await findRoom(currentStore.value);
  };
  void look();
  const timer = setInterval(() => void look(), LOOK_AGAIN_MS);
  return () => clearInterval(timer);
}

type Known = { stored: StorageState | undefined; isFull: boolean };

function RoomNotice({ stored, isFull }: Known) {
  if (isFull) {
    return (
      <Notice kind="bad">
        <p>{t("you.storage.full")}</p>
      </Notice>
    );
  }
  return stored && isLow(stored) ? (
    <Notice kind="doubt">
      <p>{t("you.storage.low")}</p>
    </Notice>
  ) : null;
}

/** What lies on this device, how much more fits, and whether the browser promised to keep it. */
export function StorageCard() {
  const stored = storageState.value;
  const jobs = useJobs().value;
  const [isRefused, setRefused] = useState(false);
  const isFull = isPhoneFull.value;
  useEffect(lookAgainAndAgain, []);

  const ask = async () => {
    await requestPersist();
    setRefused(!storageState.value?.persistent);
  };
  return (
    <section class="you-part stack">
      <h2>{t("you.storage")}</h2>
      <dl class="facts">
        <dt>{t("you.storage.jobs")}</dt>
        <dd>{jobs ? jobWords(jobs) : ""}</dd>
        <StoredKinds />
        <dt>{t("you.storage.used")}</dt>
        <dd>{stored ? formatBytes(stored.used_bytes) : t("you.storage.unknown")}</dd>
        <dt>{t("you.storage.left")}</dt>
        <dd>{leftWords({ stored, isFull })}</dd>
        <dt>{t("you.storage.kept")}</dt>
        <dd>{t(stored?.persistent ? "you.storage.kept_yes" : "you.storage.kept_no")}</dd>
      </dl>
      <p class="quiet-text">{t("you.storage.sent_hint")}</p>
      <RoomNotice stored={stored} isFull={isFull} />
      {stored && !stored.persistent && (
        <>
          <p class="quiet-text">{t(isRefused ? "you.storage.refused" : "you.storage.kept_hint")}</p>
          <Button onPress={() => void ask()}>{t("you.storage.ask")}</Button>
        </>
      )}
    </section>
  );
}
