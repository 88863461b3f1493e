import "../../text/checks";
import { useRoute } from "preact-iso/router";
import { Screen } from "../../components/Screen";
import { TopBar } from "../../components/TopBar";
import type { ReadingRow } from "../../local/rows";
import type { JobView } from "../../queries/job";
import { t } from "../../text";
import { markInvented } from "../parts/invented";
import { JobGate } from "../parts/JobGate";
import { LiveSync } from "../parts/LiveSync";
import { ReadingLink } from "../parts/ReadingLink";
import { sortedReadings } from "../parts/stored-readings";

/** Every reading of a job; those of a whole circuit are on no unit's page and are found here. */
export default function Readings({ id }: { id: string }) {
  const { query } = useRoute();
  const back = `/job/${id}/${query["from"] === "office" ? "office" : "checks"}`;
  return (
    <JobGate id={id} back={back}>
      {(view) => <List view={view} back={back} />}
    </JobGate>
  );
}

type ListProps = { view: JobView; readings: ReadingRow[]; standing?: "current" | "replaced" };

function Links({ view, readings, standing = "current" }: ListProps) {
  return (
    <ul>
      {readings.map((reading) => (
        <li key={reading.id}>
          <ReadingLink view={view} reading={reading} from="readings" standing={standing} />
        </li>
      ))}
    </ul>
  );
}

function List({ view, back }: { view: JobView; back: string }) {
  const { differing, current, replaced } = sortedReadings(view.readings);
  return (
    <Screen
      name={t("record.readings")}
      top={
        <TopBar
          title={t("record.readings")}
          under={markInvented(view.job.name, { job: view.job })}
          back={back}
        />
      }
    >
      <LiveSync />
      {view.readings.length === 0 && <p class="quiet-text">{t("record.none")}</p>}
      {differing.length > 0 && (
        <section>
          <h2 class="section-title">{t("record.differ_count", { count: differing.length })}</h2>
          <Links view={view} readings={differing} />
        </section>
      )}
      {current.length > 0 && (
        <section>
          <h2 class="section-title">{t("record.current_count", { count: current.length })}</h2>
          <Links view={view} readings={current} />
        </section>
      )}
      {replaced.length > 0 && (
        <details class="details">
          <summary>{t("record.replaced_count", { count: replaced.length })}</summary>
          <div>
            <Links view={view} readings={replaced} standing="replaced" />
          </div>
        </details>
      )}
    </Screen>
  );
}
