import type { Quantity, UnitSystem } from "../../../format/units";
import type { KeptInstrument } from "../../../local/preferences";
import type { ReadingRow, StepRow, SystemRow, UnitRow } from "../../../local/rows";
import type { JobView } from "../../../queries/job";
import { usePreferences } from "../../../queries/preferences";
import { t } from "../../../text";
import type { EngineError } from "../../../trade/types";
import { type Draft, useDraft } from "../useDraft";
import { lastHere, lastInSystem, repeated } from "./before";
import {
  type Entry,
  emptyDraft,
  entryFor,
  type Field,
  isTyped,
  type Pick,
  type ReadingDraft,
  unusualFields,
  valuesOf,
  wrongFields,
} from "./entry";
import { inUse } from "./instruments";
import { type OnScreen, problemWords } from "./problem-words";
import { type Live, type Result, useLive } from "./useLive";
import { useSaving } from "./useSaving";
import type { UnitsInUse } from "./value-words";

/** What a check is made on. */
export type Where = {
  view: JobView;
  system: SystemRow | undefined;
  unit: UnitRow | undefined;
  /** The step that the reading settles, where it settles one. */
  step: StepRow | undefined;
};

export type Inputs = Record<string, unknown>;

export type Asked<Own extends object, R extends Result> = {
  calculation: string;
  where: Where;
  own: Own;
  /** What is known before anything is typed, such as from the as-built sheet. */
  start?: (draft: ReadingDraft<Own>) => ReadingDraft<Own>;
  /** The number fields on the screen now. */
  fields: (draft: ReadingDraft<Own>) => Field[];
  picks?: (draft: ReadingDraft<Own>) => Pick[];
  /** What the engine takes, in SI; null while more is wanted. Without it: values and picks as named. */
  inputs?: (values: Record<string, number>, draft: ReadingDraft<Own>) => Inputs | null;
  /** What the engine said of something that the inputs are made from, so that there are none. */
  refused?: (values: Record<string, number>) => EngineError | undefined;
  /** The field on the screen beside which a problem of another one is told. */
  shownBeside?: (field: string) => string;
  /** What else of the draft goes into the record as it was typed. */
  entered?: (draft: ReadingDraft<Own>) => Record<string, { text: string; unit: string }>;
  /** What is wanted still, beyond fields and picks. */
  missing?: (draft: ReadingDraft<Own>, live: Live<R>) => string | undefined;
  /** The step that the person says is done with this reading, where no verdict settles it. */
  doneStep?: (draft: ReadingDraft<Own>) => string | null;
  /** "replaces" where one reading counts, "adds" where each stands for its own moment. */
  again: "replaces" | "adds";
  /** What "same as before" takes over by name; without it all fields and picks on the screen. */
  repeats?: string[];
  /** What else it takes over, of the form's own. */
  repeatsOwn?: (reading: ReadingRow) => Own;
  /** Which instruments are offered together; forms with the same word share their choice. */
  instruments?: string;
};

export type Saved = { id: string; result: Result };

export type Reading<Own extends object = object, R extends Result = Result> = {
  calculation: string;
  where: Where;
  draft: ReadingDraft<Own>;
  change: Draft<ReadingDraft<Own>>["change"];
  changeOwn: (part: Partial<Own>) => void;
  ready: boolean;
  units: UnitsInUse;
  fields: Field[];
  picks: Pick[];
  values: Record<string, number>;
  entryOf: (field: Field) => Entry;
  errorOf: (field: Field) => string | undefined;
  live: Live<R>;
  /** A problem that no field on the screen can show beside itself. */
  problem: string | undefined;
  unusual: Field[];
  instruments: KeptInstrument[];
  /** The last reading on just this place. */
  last: ReadingRow | undefined;
  /** Offered while nothing is typed: what was typed here, or on the last unit of the system. */
  repeat: (() => void) | undefined;
  /** Nothing is typed yet, save for what was known before. */
  isUntouched: boolean;
  missing: string | undefined;
  trouble: string | undefined;
  saved: Saved | undefined;
  save: () => Promise<void>;
  /** It is worked out and saved: what is on the screen must not change under it. */
  isBusy: boolean;
};

/** One draft per check and place: several can be open at once, each survives the app being closed. */
export function draftKeyOf(calculation: string, { view, system, unit }: Where): string {
  return `check:${calculation}:${unit?.id ?? system?.id ?? view.job.id}`;
}

/** Fields and picks that must be there before anything can be worked out. */
function firstWanted(fields: Field[], picks: Pick[], draft: ReadingDraft): string | undefined {
  const field = fields.find((one) => one.need !== "optional" && !isTyped(one, { draft }));
  if (field) return t("check.number_needed", { name: field.label });
  const pick = picks.find((one) => one.need !== "optional" && !draft.picked[one.name]);
  return pick && t("check.pick_needed", { name: pick.label });
}

/** The result follows the units that the person switched to on this screen. */
function shownUnits(fields: Field[], draft: ReadingDraft, system: UnitSystem): UnitsInUse {
  const shown: Partial<Record<Quantity, string>> = {};
  for (const field of fields) {
    shown[field.quantity] = entryFor(field, { draft, system }).shown;
  }
  return { system, shown };
}

/** A problem beside its field; a number that is none first. */
function useProblems<R extends Result>(
  live: Live<R>,
  {
    wrong,
    shownBeside = (field) => field,
    ...screen
  }: OnScreen & { wrong: Field[]; shownBeside?: Asked<object, R>["shownBeside"] },
) {
  const problem = live.kind === "problem" ? live.problem : undefined;
  const words = problem && problemWords(problem, screen);
  const { fields } = screen;
  // What cannot be together concerns more than the one field that is named.
  const isOfOne = problem && problem.code !== "contradictory";
  const beside = isOfOne ? shownBeside(problem.field) : undefined;
  const isBeside = fields.some((field) => field.name === beside);
  const errorOf = (field: Field) => {
    if (wrong.includes(field)) return t("number.not_a_number");
    return field.name === beside ? words : undefined;
  };
  return { errorOf, problem: isBeside ? undefined : words };
}

/**
 * A reading while it is taken: what was typed, kept as it is typed; its result as one types; and
 * saving it. All of it works with no signal; the server works the result out again on arrival.
 */
export function useReading<Own extends object = object, R extends Result = Result>(
  asked: Asked<Own, R>,
): Reading<Own, R> {
  const { calculation, where } = asked;
  const preferences = usePreferences().value;
  const system = preferences?.units ?? "si";
  const empty = asked.start?.(emptyDraft(asked.own)) ?? emptyDraft(asked.own);
  const { value: draft, change, ready } = useDraft(draftKeyOf(calculation, where), { empty });
  const fields = asked.fields(draft);
  const picks = asked.picks?.(draft) ?? [];
  const wrong = wrongFields(fields, { draft });
  const values = valuesOf(fields, { draft });
  const wanted = firstWanted(fields, picks, draft);
  const isWhole = wanted === undefined && wrong.length === 0;
  const plain = () => ({ ...values, ...draft.picked });
  const inputs = isWhole ? (asked.inputs ? asked.inputs(values, draft) : plain()) : null;
  const answer = useLive<R>(calculation, { inputs });
  const refused = isWhole ? asked.refused?.(values) : undefined;
  const live: Live<R> = refused ? { kind: "problem", problem: refused } : answer;
  const entryOf = (field: Field) => entryFor(field, { draft, system });
  const units = shownUnits(fields, draft, system);
  const { shownBeside } = asked;
  const problems = useProblems(live, {
    ...{ fields, wrong, entryOf, calculation, units },
    ...(shownBeside ? { shownBeside } : {}),
  });
  // What is refused needs no reason to be kept.
  const unusual = unusualFields(fields, { draft }).filter((field) => !problems.errorOf(field));
  const kind = asked.instruments ?? calculation;
  const instruments = inUse(kind, { chosen: draft.instruments, preferences });
  const { trouble, saved, save, isBusy } = useSaving({
    asked,
    draft,
    fields,
    picks,
    inputs,
    instruments,
    kind,
  });
  const last = lastHere(calculation, where);
  const isUntouched = JSON.stringify(draft.typed) === JSON.stringify(empty.typed);
  return {
    calculation,
    where,
    draft,
    change,
    changeOwn: (part) => change((now) => ({ own: { ...now.own, ...part } })),
    ready: ready && preferences !== undefined,
    units,
    fields,
    picks,
    values,
    entryOf,
    ...problems,
    live,
    unusual,
    instruments,
    last,
    isUntouched,
    repeat: repeatOf(asked, { fields, picks, change, isUntouched }),
    missing: missingWords({
      wrong,
      wanted,
      draft,
      unusual,
      own: asked.missing?.(draft, live),
      live,
    }),
    trouble,
    saved,
    save,
    isBusy,
  };
}

/** Repeating the last reading, where there is one and nothing is typed yet. */
function repeatOf<Own extends object, R extends Result>(
  asked: Asked<Own, R>,
  {
    fields,
    picks,
    change,
    isUntouched,
  }: {
    fields: Field[];
    picks: Pick[];
    change: Draft<ReadingDraft<Own>>["change"];
    isUntouched: boolean;
  },
): (() => void) | undefined {
  const { calculation, where } = asked;
  const before = lastHere(calculation, where) ?? lastInSystem(calculation, where);
  const names = asked.repeats ?? [...fields, ...picks].map((one) => one.name);
  if (!before || !isUntouched || names.length === 0) return undefined;
  const { typed, picked } = repeated(before, { names });
  return () =>
    change((now) => ({
      typed: { ...now.typed, ...typed },
      picked: { ...now.picked, ...picked },
      ...(asked.repeatsOwn ? { own: asked.repeatsOwn(before) } : {}),
    }));
}

function missingWords<R extends Result>(now: {
  wrong: Field[];
  wanted: string | undefined;
  own: string | undefined;
  live: Live<R>;
  unusual: Field[];
  draft: ReadingDraft;
}): string | undefined {
  if (now.wrong.length > 0) return t("check.look_again");
  if (now.wanted ?? now.own) return now.wanted ?? now.own;
  if (now.live.kind === "none") return t("check.working");
  if (now.live.kind === "problem") return t("check.look_again");
  if (now.unusual.length > 0 && now.draft.reason.trim() === "") return t("check.reason_needed");
  return undefined;
}
