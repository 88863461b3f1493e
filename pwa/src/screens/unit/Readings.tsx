import { StateShape } from "../../components/StateShape";
import { formatDayTime } from "../../format/time";
import type { ReadingRow, UnitRow } from "../../local/rows";
import type { JobView } from "../../queries/job";
import { t } from "../../text";
import { wordsFor } from "../parts/unit-words";

/** What was typed, as it was typed, with its unit. */
function enteredWords(reading: ReadingRow): string {
  return Object.values(reading.entered)
    .filter((entry) => entry.unit !== "")
    .map((entry) => `${entry.text} ${entry.unit}`)
    .join(" · ");
}

export function Readings({ view, unit }: { view: JobView; unit: UnitRow }) {
  const readings = [...(view.readingsByUnit.get(unit.id) ?? [])].sort((a, b) =>
    b.taken_at.localeCompare(a.taken_at),
  );
  const replaced = new Set(readings.map((reading) => reading.replaces_id));
  if (readings.length === 0) return null;
  return (
    <section>
      <h2 class="section-title">{t("unit.readings")}</h2>
      <ul>
        {readings.map((reading) => (
          <li key={reading.id} class="unit-row">
            <StateShape state={reading.verdict} />
            <span class="unit-row-words">
              <b>{wordsFor("calculation", reading.calculation)}</b>
              <span class="block">{enteredWords(reading)}</span>
              <span class="quiet-text block">
                {formatDayTime(reading.taken_at, { zone: view.job.time_zone })}, {reading.by_name}
                {replaced.has(reading.id) && ` · ${t("unit.replaced")}`}
              </span>
            </span>
          </li>
        ))}
      </ul>
    </section>
  );
}
