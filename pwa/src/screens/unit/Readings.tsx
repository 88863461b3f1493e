import { StateShape } from "../../components/StateShape";
import { formatDayTime } from "../../format/time";
import type { ReadingRow, UnitRow } from "../../local/rows";
import type { JobView } from "../../queries/job";
import { t } from "../../text";
import type { SupplyVerdict } from "../../trade/types";
import { wordsFor } from "../parts/unit-words";
import { Reasons, verdictWord } from "../supply/SupplyVerdict";

/** What was typed, as it was typed, with its unit. */
function enteredWords(reading: ReadingRow): string {
  return Object.values(reading.entered)
    .filter((entry) => entry.unit !== "")
    .map((entry) => `${entry.text} ${entry.unit}`)
    .join(" · ");
}

/** The server works every reading out again; where it comes to something else, that is said. */
function serverWords(reading: ReadingRow): string | null {
  const verdict = reading.server_outputs?.verdict as ReadingRow["verdict"] | undefined;
  if (!reading.differs || !verdict || verdict === reading.verdict) return null;
  return t("unit.server_differs", { verdict: t(`state.${verdict}`).toLowerCase() });
}

function titleOf(reading: ReadingRow): string {
  const name = wordsFor("calculation", reading.calculation);
  if (reading.calculation !== "supply_power") return name;
  return verdictWord(reading.outputs as SupplyVerdict);
}

type OneProps = { view: JobView; reading: ReadingRow; standing: "current" | "replaced" };

/** The verdict, what was typed, and for the one that counts what it was judged by. */
function One({ view, reading, standing }: OneProps) {
  const server = serverWords(reading);
  const isJudged = reading.calculation === "supply_power" && standing === "current";
  return (
    <li class="unit-row unit-row-long">
      <StateShape state={reading.verdict} says="shape" />
      <span class="unit-row-words">
        <b>{titleOf(reading)}</b>
        <span class="block">{enteredWords(reading)}</span>
        {isJudged && <Reasons result={reading.outputs as SupplyVerdict} />}
        {server && <b class="block">{server}</b>}
        {reading.reason && <span class="block">{reading.reason}</span>}
        <span class="quiet-text block">
          {formatDayTime(reading.taken_at, { zone: view.job.time_zone })}, {reading.by_name}
          {standing === "replaced" && ` · ${t("unit.replaced")}`}
        </span>
      </span>
    </li>
  );
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
