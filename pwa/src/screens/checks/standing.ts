/** How each check of a system stands: what was taken, what is begun, what runs. */
import { formatNearDay, formatSpan, formatTime } from "../../format/time";
import type { DraftRecord } from "../../local/records";
import type { ReadingRow, SystemRow, UnitRow, Verdict } from "../../local/rows";
import type { JobView } from "../../queries/job";
import { t } from "../../text";
import { type CheckGroup, FORMS, type FormRow } from "../check/forms";
import { isOn, nextUnit, unitsFor } from "../check/places";
import { lastHere } from "../parts/reading/before";
import type { ReadingDraft } from "../parts/reading/entry";
import { draftKeyOf } from "../parts/reading/useReading";
import { wordsFor } from "../parts/unit-words";

/** `now` in seconds. */
type At = { view: JobView; system: SystemRow; drafts: DraftRecord[]; now: number };

export type CheckLine = {
  row: FormRow;
  /** Where pressing it leads: the unit that is next, or the system. */
  unit: UnitRow | undefined;
  last: ReadingRow | undefined;
  done: number;
  total: number;
  words: string;
};

/** A form that runs by the clock keeps the moment it was begun: `own.started_at`. */
function draftWords(row: FormRow, unit: UnitRow | undefined, at: At): string | null {
  const key = draftKeyOf(row.calculation, { ...at, unit, step: undefined });
  const draft = at.drafts.find((one) => one.key === key)?.value as ReadingDraft | undefined;
  if (!draft) return null;
  const { started_at } = draft.own as { started_at?: string };
  if (started_at) {
    return t("checks.running", { span: formatSpan(at.now - Date.parse(started_at) / 1000) });
  }
  const isTyped = Object.values(draft.typed).some((entry) => entry.text !== "");
  return isTyped ? t("checks.begun") : null;
}

function lastWords(last: ReadingRow | undefined, { view, now }: At): string {
  if (!last) return t("checks.not_yet");
  const where = { zone: view.job.time_zone, now };
  const when = `${formatNearDay(last.taken_at, where)}, ${formatTime(last.taken_at, where)}`;
  if (!last.verdict) return t("checks.taken", { when });
  return t("checks.last", { word: t(`state.${last.verdict}`), when });
}

/** One that failed before one that settled nothing, and that before one that passed. */
function worstOf(readings: (ReadingRow | undefined)[]): ReadingRow | undefined {
  const of = (verdict: Verdict) => readings.find((one) => one?.verdict === verdict);
  return of("fail") ?? of("unclear") ?? readings.find(Boolean);
}

function lineOfUnits(row: FormRow, at: At): CheckLine | null {
  const units = unitsFor(row, at);
  if (units.length === 0) return null;
  const readings = units.map((unit) => lastHere(row.calculation, { ...at, unit }));
  const done = readings.filter(Boolean).length;
  const unit = nextUnit(row, { ...at, unit: undefined }) ?? units[0];
  const worst = worstOf(readings);
  const begun = draftWords(row, unit, at);
  const next = unit && done < units.length ? t("checks.next_unit", { tag: unit.tag }) : null;
  const words = [begun, next ?? lastWords(worst, at)].filter(Boolean).join(" · ");
  return { row, unit, last: worst, done, total: units.length, words };
}

function lineOfSystem(row: FormRow, at: At): CheckLine {
  const last = lastHere(row.calculation, { ...at, unit: undefined });
  const words = [draftWords(row, undefined, at), lastWords(last, at)].filter(Boolean);
  return { row, unit: undefined, last, done: last ? 1 : 0, total: 1, words: words.join(" · ") };
}

export function checkLines(group: CheckGroup, at: At): CheckLine[] {
  return FORMS.filter((row) => row.group === group && isOn(row, at.system)).flatMap((row) =>
    row.kinds.length > 0 ? (lineOfUnits(row, at) ?? []) : lineOfSystem(row, at),
  );
}

export function needsOf({ calculation }: FormRow): string {
  return wordsFor("check_needs", calculation);
}
