/** Names and numbers of the record as the engine has them: in SI, not brought to a person's units. */
import { formatNumber, HARD_SPACE } from "../../format/number";
import { formatDayTime } from "../../format/time";
import { hasText, t } from "../../text";
import type { FlatValue } from "./flat";

/** The end of a name says its unit; the longest first. */
const SI: [string, string][] = [
  ["_pa_m3_s", "Pa m³/s"],
  ["_kg_m3", "kg/m³"],
  ["_kg_kg", "kg/kg"],
  ["_m3_s", "m³/s"],
  ["_kg_s", "kg/s"],
  ["_kg_m", "kg/m"],
  ["_deg", "°"],
  ["_pct", "%"],
  ["_m3", "m³"],
  ["_kg", "kg"],
  ["_kw", "kW"],
  ["_pa", "Pa"],
  ["_c", "°C"],
  ["_k", "K"],
  ["_m", "m"],
  ["_w", "W"],
  ["_j", "J"],
  ["_v", "V"],
  ["_a", "A"],
  ["_s", "s"],
];
/** More than any instrument resolves, fewer than a double has. */
const DIGITS = 7;

type Of = { calculation: string };
type Known = Of & { nameOf: (id: string) => string };

const endOf = (name: string) => SI.find(([end]) => name.endsWith(end));

function oneName(name: string, { calculation }: Of): string {
  const keys = [
    `field.${calculation}.${name}`,
    `field.${name}`,
    `figure.${name}`,
    `supply.${name}`,
  ];
  const key = keys.find(hasText);
  if (key) return t(key);
  const end = endOf(name)?.[0] ?? "";
  const words = name.slice(0, name.length - end.length).replaceAll("_", " ");
  return words.charAt(0).toUpperCase() + words.slice(1);
}

/** "Lines 2, mass": places in a list are counted from 1. */
export function pathWords(path: string, of: Of): string {
  return path
    .split(".")
    .map((part) => {
      const [name = "", at] = part.split("[");
      const words = oneName(name, of);
      return at === undefined ? words : `${words} ${Number.parseInt(at, 10) + 1}`;
    })
    .join(", ");
}

function withUnit(path: string, number: string): string {
  const unit = endOf(path)?.[1];
  if (!unit) return number;
  return unit === "°" ? `${number}${unit}` : `${number}${HARD_SPACE}${unit}`;
}

function otherWords(value: string | boolean | null, { nameOf }: Pick<Known, "nameOf">): string {
  if (value === null) return "–";
  if (typeof value === "boolean") return t(value ? "record.yes" : "record.no");
  return nameOf(value);
}

/** To be read. */
export function siWords({ path, value }: FlatValue, of: Known): string {
  if (typeof value !== "number") return otherWords(value, of);
  const digits = Number.isInteger(value) ? { digits: 0 } : { significant: DIGITS };
  return withUnit(path, formatNumber(value, digits));
}

/** To be compared: every digit there is. */
export function exactWords(path: string, value: FlatValue["value"] | undefined, of: Known): string {
  if (value === undefined) return t("record.no_such_field");
  if (typeof value !== "number") return otherWords(value, of);
  return withUnit(path, String(value));
}

const MOMENT = /^\d{4}-\d\d-\d\dT/;

/** What was typed, letter by letter; a choice by its words, a moment on the clock of the site. */
export function typedWords(
  { text, unit }: { text: string; unit: string },
  { zone, nameOf }: { zone: string; nameOf: (id: string) => string },
): string {
  if (unit !== "") return unit === "°" ? `${text}${unit}` : `${text}${HARD_SPACE}${unit}`;
  if (MOMENT.test(text)) return formatDayTime(text, { zone });
  const key = [`supply.${text}`, `choice.${text}`, `field.${text}`].find(hasText);
  return key ? t(key) : nameOf(text).replaceAll("_", " ");
}
