/** What was wrong with each field, in words: the server says it for programs and people alike. */
import { formatNumber } from "../../format/number";
import type { AttentionItem } from "../../queries/attention";
import { hasText, type TextKey, t } from "../../text";
import { wordsFor } from "../parts/unit-words";
import { pathWords } from "../reading/raw-words";
import { fieldWords } from "./field-words";
import { isSaidByReason } from "./mendable";

/** What the server's checks say, each with a sentence of its own here. */
const SAID: [RegExp, TextKey, string[]][] = [
  [
    /^may be at most (\d+) characters long; this is (\d+)/,
    "attention.problem.too_long",
    ["most", "count"],
  ],
  [/must not be empty|^Missing data|may not be null/, "attention.problem.missing", []],
  [/between the years (\d+) and (\d+)/, "attention.problem.years", ["low", "high"]],
  [/must lie between (\S+) and (.+?)\.?$/, "attention.problem.between", ["low", "high"]],
  [/must be a (whole )?number|must be 0 or more/, "attention.problem.number", []],
  [/^Not a valid (date|time|aware)|time of day/, "attention.problem.time", []],
  [/must be one of:|^Must be one of/, "attention.problem.choice", []],
  [/\bmarks?\b/, "attention.problem.marks", []],
  [/^closed$/, "attention.problem.closed", []],
  [/^(unknown|role|missing)$/, "attention.problem.unknown", []],
  [/^another /, "attention.problem.another", []],
  [/must differ/, "attention.problem.twice", []],
  [/^exactly one of/, "attention.problem.one_owner", []],
];

/** Words for a person and not for a program: no name with an underscore, no code of one word. */
export function isReadable(said: string): boolean {
  return /\s/.test(said.trim()) && !/\w_\w|[[\]{}]/.test(said);
}

function numbersTold(text: string): string {
  const [number = "", ...unit] = text.split(" ");
  const value = Number(number);
  if (number === "" || Number.isNaN(value)) return text;
  return [formatNumber(value, { significant: 6 }), ...unit].join(" ").replaceAll("m3", "m³");
}

/** Without the field: "is missing." */
export function saidWords(said: string): string {
  for (const [pattern, key, names] of SAID) {
    const match = pattern.exec(said);
    if (!match) continue;
    const told = names.map((name, at) => [name, yearOrNumber(key, match[at + 1] ?? "")] as const);
    return t(key, Object.fromEntries(told));
  }
  return isReadable(said) ? said : t("attention.problem.not_readable");
}

function yearOrNumber(key: TextKey, text: string): string {
  return key === "attention.problem.years" ? text : numbersTold(text);
}

/** As it stands by itself under its field: "May have at most 200 characters; this has 240." */
export function saidAlone(said: string): string {
  const words = saidWords(said);
  return words.charAt(0).toUpperCase() + words.slice(1);
}

type Item = Pick<AttentionItem, "code" | "fields" | "problem_fields">;

function rowName(list: string, at: string, { fields }: Pick<Item, "fields">): string {
  const rows = fields[list];
  const row = Array.isArray(rows) ? rows[Number(at)] : undefined;
  const tag = row instanceof Object && "tag" in row ? row.tag : undefined;
  return typeof tag === "string" && tag !== "" ? tag : String(Number(at) + 1);
}

/** "Unit L2-03, port"; what an input of a check is called there. */
export function pathInWords(path: string, item: Pick<Item, "fields">): string {
  const [first = "", ...rest] = path.split(".");
  if (first === "inputs" && rest.length > 0) {
    return pathWords(rest.join("."), { calculation: String(item.fields["calculation"]) });
  }
  const kind = `attention.row.${first}`;
  if (rest.length < 1 || !hasText(kind)) return fieldWords(rest.at(-1) ?? first);
  const [at = "", ...inner] = rest;
  const name = rowName(first, at, item);
  return t("attention.row", { kind: t(kind), name, field: fieldWords(inner[0] ?? first) });
}

/** A sheet can have a thousand faults; the first few show what kind they are. */
const MOST_TOLD = 8;

/** What was wrong, apart from what is told right at a field that can be mended. */
export function otherProblems(item: Item, { mendable }: { mendable: readonly string[] }): string[] {
  const told = Object.entries(item.problem_fields)
    .filter(([path]) => !mendable.includes(path) && !isSaidByReason(path, item))
    .map(([path, said]) => problemLine(path, said, item));
  const more = told.length - MOST_TOLD;
  if (more <= 0) return told;
  return [...told.slice(0, MOST_TOLD), t("attention.more_problems", { count: more })];
}

function problemLine(path: string, said: string, item: Item): string {
  const field = pathInWords(path, item);
  if (path === "state" && hasText(`attention.state.${said}`)) {
    return t("attention.problem.told", { field, said: wordsFor("attention.state", said) });
  }
  const code = `problem.${said}`;
  if (path.startsWith("inputs.") && hasText(code) && said !== "out_of_range") {
    return t(code, { name: field });
  }
  const words = saidWords(said);
  const isOurs = SAID.some(([pattern]) => pattern.test(said)) || !isReadable(said);
  return t(isOurs ? "attention.problem.said" : "attention.problem.told", { field, said: words });
}
