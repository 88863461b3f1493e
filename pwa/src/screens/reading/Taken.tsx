import { formatDay, formatDayTime } from "../../format/time";
import { wallClock } from "../../format/zoned";
import type { Instrument, ReadingRow } from "../../local/rows";
import type { JobView } from "../../queries/job";
import { t } from "../../text";
import { calibrationDoubts } from "../parts/reading/instruments";
import { wordsFor } from "../parts/unit-words";

type Of = { reading: ReadingRow; view: JobView };

function instrumentsOf({ instrument }: ReadingRow): Instrument[] {
  return instrument ? [instrument, ...(instrument.others ?? [])] : [];
}

function instrumentWords(one: Instrument, { zone }: { zone: string }): string {
  const calibrated = one.calibrated_on
    ? t("record.calibrated", {
        day: formatDay(one.calibrated_on, { zone }),
        year: one.calibrated_on.slice(0, 4),
      })
    : t("record.not_calibrated");
  const range = one.range && t("record.range", { range: one.range });
  const resolution = one.resolution && t("record.resolution", { resolution: one.resolution });
  return [one.name, range, resolution, calibrated].filter(Boolean).join(", ");
}

function stepWords({ reading, view }: Of): string | null {
  const step = view.stepById.get(reading.step_id ?? "");
  return step ? wordsFor("step", step.code) : null;
}

function visitWords({ reading, view }: Of): string | null {
  const visit = view.visitById.get(reading.visit_id ?? "");
  if (!visit) return null;
  const day = formatDay(visit.starts_at, { zone: view.job.time_zone });
  return `${wordsFor("purpose", visit.purpose)}, ${day}`;
}

/** What the server says of it; a reading that has not arrived is not compared yet. */
function sentWords({ pending, differs, server_outputs }: ReadingRow): string {
  if (pending || !server_outputs) return t("record.not_sent");
  return t(differs ? "record.server_other" : "record.server_same");
}

/** Who, when, with what, for which step, and whether the server agrees. */
export function Taken({ reading, view }: Of) {
  const zone = view.job.time_zone;
  const today = wallClock(Date.parse(reading.taken_at), { zone }).date;
  const instruments = instrumentsOf(reading);
  const doubts = calibrationDoubts(instruments, { today });
  const facts: [string, string | null][] = [
    [t("record.taken"), `${formatDayTime(reading.taken_at, { zone })}, ${reading.by_name}`],
    [t("record.reason"), reading.reason],
    [t("record.step"), stepWords({ reading, view })],
    [t("record.visit"), visitWords({ reading, view })],
    [t("record.engine"), reading.engine_version],
    [t("record.checked"), sentWords(reading)],
  ];
  return (
    <section>
      <h2 class="section-title">{t("record.record")}</h2>
      <dl class="facts facts-long">
        {facts.map(
          ([name, words]) =>
            words && (
              <div key={name} class="fact">
                <dt>{name}</dt>
                <dd>{words}</dd>
              </div>
            ),
        )}
        <div class="fact">
          <dt>{t("record.instrument")}</dt>
          <dd>
            {instruments.length === 0 && t("record.no_instrument")}
            {instruments.map((one) => (
              <p key={one.name}>{instrumentWords(one, { zone })}</p>
            ))}
            {doubts.map((words) => (
              <p key={words} class="quiet-text">
                {words}
              </p>
            ))}
          </dd>
        </div>
      </dl>
    </section>
  );
}
