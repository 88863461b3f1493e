/** The engine's reasons as sentences. */
import { formatSpan } from "../../../format/time";
import { hasText, t } from "../../../text";
import type { Reason } from "../../../trade/types";
import { quantityOfUnit, quantityWords, type UnitsInUse, valueWords } from "./value-words";

export type Told = {
  calculation: string;
  units: UnitsInUse;
  /** Ids of units as their tags. */
  nameOf?: (id: string) => string;
};

/** Where a limit comes from, and how well that is founded, in plain words. */
export function sourceWords(source: unknown, { mark }: { mark: unknown }): string {
  const from = typeof source === "string" && source !== "" ? source : t("check.no_source");
  const key = `mark.${mark}`;
  // What was read in its source needs no more words.
  if (mark === "S" || !hasText(key)) return from;
  const words = t(key);
  const start = words.split(",")[0] ?? words;
  return from.toLowerCase().includes(start) ? from : `${from}; ${words}`;
}

function markWords(mark: unknown): string {
  const key = `mark.${mark}`;
  return hasText(key) ? t(key) : t("mark.S");
}

/** A number that stands beside a limit has the limit's unit. */
function shown(name: string, value: unknown, values: Reason["values"], told: Told): string {
  const unit = values["unit"];
  if (name === "mark") return markWords(value);
  if (name === "source") return sourceWords(value, { mark: values["mark"] });
  if (typeof value === "number" && typeof unit === "string" && /^(value|limit)$/.test(name)) {
    // A time is told as people say it, whatever it is held against.
    if (unit === "s") return formatSpan(value);
    const quantity = quantityOfUnit(unit, told);
    return quantity
      ? quantityWords(value, quantity, told.units)
      : `${value}\u00a0${unit}`.trimEnd();
  }
  return valueWords(name, value, told);
}

/** Plural forms need the number itself: `{count, plural, ...}`. */
function isCount(name: string, value: unknown): value is number {
  return typeof value === "number" && /(^|_)count$/.test(name);
}

export function sentence(key: string, values: Reason["values"], told: Told): string | null {
  if (!hasText(key)) return null;
  const words = Object.entries(values).map(([name, value]) => [
    name,
    isCount(name, value) ? value : shown(name, value, values, told),
  ]);
  return t(key, Object.fromEntries(words));
}

/** A code from a newer engine that has no sentence yet is shown as it is: never hidden. */
export function reasonWords({ code, values }: Reason, told: Told): string {
  return sentence(`reason.${code}`, values, told) ?? code.replaceAll("_", " ");
}

/** The measured number of a reason, as it stands in the sentence. */
export function measuredWords({ values }: Reason, told: Told): string | null {
  const { value } = values;
  return value === undefined ? null : shown("value", value, values, told);
}

/** What to do next, and cautions: codes that carry their prefix. */
export function codeWords(codes: string[] | undefined): string[] {
  return (codes ?? []).map((code) => (hasText(code) ? t(code) : code.replaceAll("_", " ")));
}
