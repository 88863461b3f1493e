import { formatNearDay, formatTime } from "../../../format/time";
import type { ReadingRow } from "../../../local/rows";
import type { JobView } from "../../../queries/job";
import { useNow } from "../../../queries/now";
import { usePreferences } from "../../../queries/preferences";
import { t } from "../../../text";
import { serverWords } from "./differs";
import { ResultCard } from "./ResultCard";
import { tagsOf } from "./tags";
import type { Result } from "./useLive";

/** What was found here before: its word at a glance, the whole of it when it is opened. */
export function LastReading({ view, reading }: { view: JobView; reading: ReadingRow }) {
  const system = usePreferences().value?.units ?? "si";
  const where = { zone: view.job.time_zone, now: useNow().value };
  const when = `${formatNearDay(reading.taken_at, where)}, ${formatTime(reading.taken_at, where)}`;
  const server = serverWords(reading);
  const told = { when, who: reading.by_name };
  return (
    <details class="details">
      <summary>
        {reading.verdict
          ? t("check.last_judged", { ...told, word: t(`state.${reading.verdict}`) })
          : t("check.last", told)}
      </summary>
      <div class="stack">
        {server && <b>{server}</b>}
        {reading.reason && <p>{reading.reason}</p>}
        <ResultCard
          calculation={reading.calculation}
          result={reading.outputs as Result}
          units={{ system }}
          nameOf={tagsOf({ view })}
        />
      </div>
    </details>
  );
}
