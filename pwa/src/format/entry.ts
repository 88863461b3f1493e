/** What people type: decimal comma or point, as their language has it. */
import { locale } from "./locale";

/** Asked for at every key that is pressed, and slow to find out. */
const known = new Map<string, "." | ",">();

export function decimalSeparator(language: string = locale()): "." | "," {
  const found = known.get(language);
  if (found) return found;
  const part = new Intl.NumberFormat(language).formatToParts(1.5).find((p) => p.type === "decimal");
  const separator = part?.value === "," ? "," : ".";
  known.set(language, separator);
  return separator;
}

const GROUPED = /^-?\d{1,3},\d{3}$/;

/**
 * The number that was typed, or null when it is none. Both separators are
 * taken, because a meter shows a point to people whose keypad shows a comma.
 * "1,250" where the separator is a point may mean either: it is not guessed.
 */
export function parseEntry(text: string, language: string = locale()): number | null {
  const typed = text.trim().replace("−", "-");
  if (decimalSeparator(language) === "." && GROUPED.test(typed)) return null;
  const plain = typed.replace(",", ".");
  return /^-?(\d+\.?\d*|\.\d+)$/.test(plain) ? Number(plain) : null;
}
