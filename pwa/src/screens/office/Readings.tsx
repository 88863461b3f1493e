import "../../text/checks";
import { ButtonLink } from "../../components/Button";
import { StateWord } from "../../components/StateShape";
import type { JobView } from "../../queries/job";
import { t } from "../../text";
import { ReadingLink } from "../parts/ReadingLink";
import { sortedReadings } from "../parts/stored-readings";

/** How many readings there are, and each one that the server works out otherwise. */
export function Readings({ view }: { view: JobView }) {
  const { differing, current } = sortedReadings(view.readings);
  const count = differing.length + current.length;
  return (
    <section class="office-readings">
      <h2 class="section-title">{t("record.count", { count })}</h2>
      {count === 0 && <p class="office-none">{t("record.none")}</p>}
      {differing.length > 0 && (
        <p class="office-differ">
          <StateWord state="differs">
            {t("record.differ_count", { count: differing.length })}
          </StateWord>
        </p>
      )}
      <ul>
        {differing.map((reading) => (
          <li key={reading.id}>
            <ReadingLink view={view} reading={reading} from="office" />
          </li>
        ))}
      </ul>
      {view.readings.length > 0 && (
        <ButtonLink kind="quiet" href={`/job/${view.job.id}/readings?from=office`}>
          {t("record.see_all")}
        </ButtonLink>
      )}
    </section>
  );
}
