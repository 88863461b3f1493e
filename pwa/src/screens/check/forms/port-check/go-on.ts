/** Going on with a check that was saved while something was open: one more round is added to it. */
import type { ReadingRow, UnitRow } from "../../../../local/rows";
import { type Entry, emptyDraft } from "../../../parts/reading/entry";
import { allFields, type Code, type Draft, NOT_PLANNED, type RoundKept } from "./draft";
import type { ReadResult } from "./words";

function roundsOf(codes: Code[]): RoundKept[] {
  return Array.from(codes[0]?.code ?? "", (_, at) => {
    const on = codes.filter(({ code }) => code[at] === "1").map(({ unit }) => unit);
    const kind = on.length > 0 ? "round" : "pause";
    return { on, started_at: null, switched: [], kind };
  });
}

/** The plan as it was run, by id; null where the sheet does not have one of its units any more. */
function codesOf({ inputs }: ReadingRow, units: UnitRow[]): Code[] | null {
  const codes: Code[] = [];
  for (const { unit, code } of (inputs["codes"] ?? []) as Code[]) {
    const id = units.find(({ tag }) => tag === unit)?.id;
    if (id === undefined) return null;
    codes.push({ unit: id, code });
  }
  return codes.length > 0 ? codes : null;
}

/**
 * The draft of a saved check with something open, made of the record: it is there after the app
 * was closed, on every phone of the job, and with no signal. Null where nothing is left to tell.
 */
export function openDraft(
  reading: ReadingRow | undefined,
  { units, settings }: { units: UnitRow[]; settings: string[] },
): Draft | null {
  if (!reading || !(reading.outputs as Partial<ReadResult>).next_round) return null;
  const codes = codesOf(reading, units);
  if (!codes) return null;
  const entries = Object.entries(reading.entered);
  const picked = entries.flatMap(([name, { text, unit }]) => (unit === "" ? [[name, text]] : []));
  const draft: Draft = {
    ...emptyDraft(NOT_PLANNED),
    picked: Object.fromEntries(picked),
    reason: reading.reason ?? "",
    own: { codes, rounds: roundsOf(codes), place: "result", started_at: reading.taken_at },
  };
  const typed: Record<string, Entry> = {};
  const take = (name: string, record: string) => {
    const entry = reading.entered[record];
    if (entry) typed[name] = { ...entry, shown: entry.unit };
  };
  for (const name of settings) take(name, name);
  for (const { name, record } of allFields(draft, { units })) take(name, record ?? name);
  return { ...draft, typed };
}
