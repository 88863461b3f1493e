/** What was typed, line by line. What stands in one place of a list was typed together and is told together. */
import type { Entered } from "../../local/rows";
import { t } from "../../text";
import { typedWords } from "./raw-words";

export type TypedRow = { path: string; words: string };
type Known = Parameters<typeof typedWords>[1];

/** Of other lists, such as the rounds of a port check, each value needs its own name. */
const TOGETHER = /^(readings|lines)\[\d+\]/;
/** A place is told by when or what it was first, by who read it and on which clock last. */
const FIRST = ["at", "size"];
const LAST = ["by", "clock"];

const lastName = (path: string) => path.slice(path.lastIndexOf(".") + 1);
const rank = (path: string) => {
  const name = lastName(path);
  return FIRST.includes(name) ? -1 : LAST.indexOf(name) + 1;
};

function words(path: string, entry: Entered[string], known: Known): string | null {
  if (lastName(path) !== "clock") return typedWords(entry, known);
  return entry.text === "typed" ? t("hold.typed") : null;
}

export function typedRows(entered: Entered, known: Known): TypedRow[] {
  const order = new Intl.Collator("en", { numeric: true });
  // Names of rows that a form keeps for itself say nothing to a reader.
  const entries = Object.entries(entered).filter(([path]) => lastName(path) !== "id");
  entries.sort(([a], [b]) => rank(a) - rank(b) || order.compare(a, b));
  const rows = new Map<string, string[]>();
  for (const [path, entry] of entries) {
    const place = TOGETHER.exec(path)?.[0] ?? path;
    const said = words(path, entry, known);
    rows.set(place, [...(rows.get(place) ?? []), ...(said === null ? [] : [said])]);
  }
  return [...rows]
    .map(([path, said]) => ({ path, words: said.join(", ") }))
    .sort((a, b) => order.compare(a.path, b.path));
}
