import type { Failure, Fields } from "../local/result";

/** Names every text that was left empty, all at once, so that nobody mends them one by one. */
export function missingTexts(texts: Record<string, string>): Failure | undefined {
  const empty = Object.keys(texts).filter((name) => !texts[name]?.trim());
  if (empty.length === 0) {
    return undefined;
  }
  const fields: Fields = Object.fromEntries(empty.map((name) => [name, "missing"]));
  return { ok: false, code: "invalid", fields };
}
