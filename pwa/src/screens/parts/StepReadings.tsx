import "../../text/checks";
import type { StepRow } from "../../local/rows";
import type { JobView } from "../../queries/job";
import { t } from "../../text";
import { ReadingLink } from "./ReadingLink";
import { readingsOfSteps } from "./stored-readings";

type Props = { view: JobView; steps: readonly StepRow[] };

/** What was recorded for a step of the line; each opens whole. */
export function StepReadings({ view, steps }: Props) {
  const readings = readingsOfSteps(steps, { view });
  if (readings.length === 0) return null;
  return (
    <section>
      <h3 class="section-title">{t("record.count", { count: readings.length })}</h3>
      <ul>
        {readings.map((reading) => (
          <li key={reading.id}>
            <ReadingLink view={view} reading={reading} from="job" />
          </li>
        ))}
      </ul>
    </section>
  );
}
