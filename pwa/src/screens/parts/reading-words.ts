/** A stored reading in words. */
import "../../text/checks";
import { HARD_SPACE } from "../../format/number";
import { formatDayTime } from "../../format/time";
import type { ReadingRow } from "../../local/rows";
import type { JobView } from "../../queries/job";
import { hasText, t } from "../../text";
import { verdictWords } from "./reading/ResultCard";
import type { Result } from "./reading/useLive";
import { wordsFor } from "./unit-words";

/**
 * What was typed, as it was typed, with its unit; by name, as the order of it is not kept. Of a hold
 * with its many readings: how many there are, and the last one.
 */
export function enteredWords({ entered, calculation }: ReadingRow): string {
  const names = Object.keys(entered).filter((name) => entered[name]?.unit !== "");
  const places = names.flatMap((name) => /^readings\[(\d+)\]/.exec(name)?.[1] ?? []).map(Number);
  const last = places.length > 0 ? Math.max(...places) : null;
  const shown = names
    .filter((name) => last === null || name.startsWith(`readings[${last}]`))
    .sort((a, b) => a.localeCompare(b))
    .map((name) => entryWords(name, { entered, calculation }));
  const count = last === null ? [] : [t("hold.readings", { count: last + 1 })];
  return [...count, ...shown].join(" · ");
}

function entryWords(
  name: string,
  { entered, calculation }: Pick<ReadingRow, "entered" | "calculation">,
): string {
  const { text, unit } = entered[name] ?? { text: "", unit: "" };
  const key = [`field.${calculation}.${name}`, `field.${name}`].find(hasText);
  return `${key ? `${t(key)} ` : ""}${text}${unit === "°" ? "" : HARD_SPACE}${unit}`;
}

export function readingTitle(reading: ReadingRow): string {
  const name = wordsFor("calculation", reading.calculation);
  if (!reading.verdict) return name;
  return `${name}: ${verdictWords(reading.calculation, reading.outputs as Result)}`;
}

/** The unit, or the system where it is of the whole circuit; empty for a figure of neither. */
export function readingWhere(reading: ReadingRow, { view }: { view: JobView }): string {
  const unit = view.unitById.get(reading.unit_id ?? "");
  if (unit) return unit.tag;
  const system = view.systemById.get(reading.system_id ?? "");
  return system ? t("job.system_tag", { tag: system.tag }) : "";
}

export function readingWhen(reading: ReadingRow, { view }: { view: JobView }): string {
  return `${formatDayTime(reading.taken_at, { zone: view.job.time_zone })}, ${reading.by_name}`;
}
