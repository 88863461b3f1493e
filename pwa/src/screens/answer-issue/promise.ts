import { addDays, wallClock } from "../../format/zoned";
import type { PreparedPhoto } from "../../photo/prepare";

/** How far ahead the quick choices of a promised date lie, in days. */
const QUICK_DAYS = [0, 1, 2, 7] as const;

export interface QuickDay {
  date: string;
  daysAhead: number;
}

export function quickDays(nowMs: number, { zone }: { zone: string }): QuickDay[] {
  const { date } = wallClock(nowMs, { zone });
  return QUICK_DAYS.map((daysAhead) => ({ date: addDays(date, daysAhead), daysAhead }));
}

export type AnswerProblem = "fixed_missing" | "words_missing" | "promise_missing" | "promise_past";

export interface Answering {
  words: string;
  fixed: boolean | null;
  promisedOn: string;
  photos: PreparedPhoto[];
}

export const EMPTY_ANSWER: Answering = { words: "", fixed: null, promisedOn: "", photos: [] };

/** The first thing that keeps an answer from being saved, beside the field it belongs to. */
export function problemOf(
  form: Omit<Answering, "photos">,
  { today }: { today: string },
): { field: "words" | "fixed" | "promised_on"; code: AnswerProblem } | null {
  if (form.fixed === null) return { field: "fixed", code: "fixed_missing" };
  if (form.words.trim() === "") return { field: "words", code: "words_missing" };
  if (form.fixed) return null;
  if (form.promisedOn === "") return { field: "promised_on", code: "promise_missing" };
  return form.promisedOn < today ? { field: "promised_on", code: "promise_past" } : null;
}
