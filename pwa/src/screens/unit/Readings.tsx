import "../../text/checks";
import type { ReadingRow, UnitRow } from "../../local/rows";
import type { JobView } from "../../queries/job";
import { lastMadeFirst } from "../../queries/made";
import { usePreferences } from "../../queries/preferences";
import { t } from "../../text";
import { ReadingLink } from "../parts/ReadingLink";
import { ReasonList } from "../parts/reading/ResultCard";
import { tagsOf } from "../parts/reading/tags";
import type { Result } from "../parts/reading/useLive";

type OneProps = { view: JobView; reading: ReadingRow; standing: "current" | "replaced" };

/** The verdict and what was typed, opened by a press; for the one that counts what it was judged by. */
function One({ view, reading, standing }: OneProps) {
  const system = usePreferences().value?.units ?? "si";
  return (
    <li>
      <ReadingLink view={view} reading={reading} from="unit" standing={standing} />
      {standing === "current" && (
        <ReasonList
          calculation={reading.calculation}
          result={reading.outputs as Result}
          units={{ system }}
          nameOf={tagsOf({ view })}
        />
      )}
    </li>
  );
}

export function Readings({ view, unit }: { view: JobView; unit: UnitRow }) {
  const readings = lastMadeFirst(view.readingsByUnit.get(unit.id) ?? []);
  const replaced = new Set(readings.map((reading) => reading.replaces_id));
  if (readings.length === 0) return null;
  return (
    <section>
      <h2 class="section-title">{t("unit.readings")}</h2>
      <ul>
        {readings.map((reading) => (
          <One
            key={reading.id}
            view={view}
            reading={reading}
            standing={replaced.has(reading.id) ? "replaced" : "current"}
          />
        ))}
      </ul>
    </section>
  );
}
