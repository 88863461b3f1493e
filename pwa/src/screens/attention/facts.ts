/** What a change says, apart from what can be mended on its card: each with its name, in words. */
import type { MutationType } from "../../local/records";
import type { ReadingRow, VisitSummary } from "../../local/rows";
import type { AttentionItem } from "../../queries/attention";
import { t } from "../../text";
import { figuresOf } from "../parts/reading/figures";
import { verdictWords } from "../parts/reading/ResultCard";
import type { Result } from "../parts/reading/useLive";
import { valueWords as rawWords, type UnitsInUse } from "../parts/reading/value-words";
import { enteredWords } from "../parts/reading-words";
import { pathWords } from "../reading/raw-words";
import { fieldWords, type Known, valueWords } from "./field-words";

export type Fact = { name: string; words: string };
export type KnownOfUnits = Known & { units: UnitsInUse };
type Item = Pick<AttentionItem, "type" | "fields">;
type Fields = Item["fields"];

/** Told as they are, in this order; what the heading says of it already is left out. */
const PLAIN: Record<MutationType, readonly string[]> = {
  "job.create": ["name", "address", "contractor_firm", "shift_start", "shift_end", "shift_days"],
  "visit.plan": ["purpose", "starts_at", "planned_s", "person_id", "note"],
  "visit.set": ["purpose", "starts_at", "planned_s", "person_id", "note"],
  "visit.cancel": ["note"],
  "visit.close": ["note"],
  "issue.raise": [
    "words",
    "action",
    "evidence",
    "stops",
    "opens_circuit",
    "who_must_act",
    "due_on",
    "visit_id",
  ],
  "issue.set": [
    "unit_id",
    "category",
    "words",
    "action",
    "evidence",
    "stops",
    "opens_circuit",
    "who_must_act",
    "due_on",
  ],
  "issue.answer": ["words", "fixed", "promised_on"],
  "issue.prove": ["words"],
  "issue.send_back": ["words"],
  "issue.accept": ["name", "reason"],
  "step.mark": ["state", "note"],
  "reading.record": ["taken_at", "step_id", "visit_id", "reason"],
  "photo.add": ["taken_at"],
  "photo.mark": [],
  "unit.set": [
    "floor",
    "place",
    "room",
    "room_m3",
    "group_address",
    "central_address",
    "feeder",
    "model_note",
  ],
};

const isSaid = (value: unknown) =>
  value !== null && value !== undefined && value !== "" && String(value) !== "";

export function factsOf(
  item: Item,
  known: KnownOfUnits,
  { mendable }: { mendable: readonly string[] },
): Fact[] {
  const plain = (PLAIN[item.type as MutationType] ?? []).filter(
    (field) => !mendable.includes(field) && isSaid(item.fields[field]),
  );
  return [
    ...ownFacts(item, known),
    ...plain.map((field) => ({
      name: fieldWords(field),
      words: valueWords(item.fields[field], { ...known, field }),
    })),
  ];
}

/** What only this kind of change has. */
function ownFacts({ type, fields }: Item, known: KnownOfUnits): Fact[] {
  if (type === "reading.record") return readingFacts(fields, known);
  if (type === "visit.close") return summaryFacts(fields["summary"]);
  if (type === "job.create") return listFacts(fields);
  const { marks } = fields;
  if (!Array.isArray(marks) || (type === "photo.add" && marks.length === 0)) return [];
  return [{ name: fieldWords("marks"), words: t("attention.fact.marks", { count: marks.length }) }];
}

const asObject = (value: unknown) => (value instanceof Object ? value : {}) as Fields;

/** The numbers asked for, what was typed, and with what: as they stand in the list of readings. */
function readingFacts(fields: Fields, { units }: KnownOfUnits): Fact[] {
  const calculation = String(fields["calculation"]);
  const outputs = asObject(fields["outputs"]);
  const entered = asObject(fields["entered"]) as ReadingRow["entered"];
  const typed = enteredWords({ entered, calculation } as ReadingRow);
  const instrument = asObject(fields["instrument"])["name"];
  const verdict = outputs["verdict"] ? verdictWords(calculation, outputs as Result) : "";
  const figures = figuresOf(calculation, outputs).map((name) => ({
    name: pathWords(name, { calculation }),
    words: rawWords(name, outputs[name], { calculation, units }),
  }));
  const told = [
    { name: t("attention.fact.result"), words: verdict },
    ...figures,
    { name: t("attention.fact.typed"), words: typed },
    { name: fieldWords("instrument"), words: typeof instrument === "string" ? instrument : "" },
  ];
  return told.filter(({ words }) => words !== "");
}

const stepsIn = (done: VisitSummary["done"]) => done.reduce((sum, { count }) => sum + count, 0);

function summaryFacts(summary: unknown): Fact[] {
  const { done, not_done, issues_open } = asObject(summary) as Partial<VisitSummary>;
  const parts = [
    Array.isArray(done) && t("attention.fact.done", { count: stepsIn(done) }),
    Array.isArray(not_done) && t("attention.fact.not_done", { count: not_done.length }),
    typeof issues_open === "number" && t("attention.fact.issues", { count: issues_open }),
  ].filter((words) => words !== false);
  return parts.length > 0 ? [{ name: fieldWords("summary"), words: parts.join(", ") }] : [];
}

function listFacts({ systems, units }: Fields): Fact[] {
  const parts = [
    Array.isArray(systems) && t("attention.fact.systems", { count: systems.length }),
    Array.isArray(units) && t("attention.fact.units", { count: units.length }),
  ].filter((words) => words !== false);
  return parts.length > 0 ? [{ name: fieldWords("units"), words: parts.join(", ") }] : [];
}
