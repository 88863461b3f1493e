/** The only place where a number becomes text. Verdicts are reached before this, on raw numbers. */
import { locale } from "./locale";

export const NARROW_SPACE = "\u202f";
export const HARD_SPACE = "\u00a0";

export type Rounding = { digits: number } | { significant: number };
type Where = { locale?: string };

const known = new Map<string, Intl.NumberFormat>();

function formatter(rounding: Rounding, { locale: language = locale() }: Where): Intl.NumberFormat {
  const key = `${language} ${JSON.stringify(rounding)}`;
  const found = known.get(key);
  if (found) return found;
  const options =
    "digits" in rounding
      ? { minimumFractionDigits: rounding.digits, maximumFractionDigits: rounding.digits }
      : { maximumSignificantDigits: rounding.significant };
  const made = new Intl.NumberFormat(language, options);
  known.set(key, made);
  return made;
}

/** A number as text. What is not a number is a dash: nothing is made up. */
export function formatNumber(
  value: number | null | undefined,
  rounding: Rounding & Where = { significant: 3 },
): string {
  if (value === null || value === undefined || !Number.isFinite(value)) return "–";
  const text = formatter(rounding, rounding).format(value);
  return text.replace(/^-(?=0[.,]?0*$)/, "").replace("-", "\u2212");
}

/** A number never stands without its unit; the two do not part at the end of a line. */
export function formatQuantity(
  value: number | null | undefined,
  { unit, ...rounding }: (Rounding & Where) & { unit: string },
): string {
  return `${formatNumber(value, rounding)}${HARD_SPACE}${unit}`;
}

export function formatBytes(bytes: number): string {
  const megabytes = bytes / 1e6;
  if (megabytes >= 1e3) return formatQuantity(megabytes / 1e3, { digits: 1, unit: "GB" });
  return megabytes < 1
    ? formatQuantity(bytes / 1e3, { digits: 0, unit: "kB" })
    : formatQuantity(megabytes, { digits: megabytes < 10 ? 1 : 0, unit: "MB" });
}
