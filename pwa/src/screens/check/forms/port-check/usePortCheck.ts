import type { UnitRow } from "../../../../local/rows";
import { t } from "../../../../text";
import type { EngineError } from "../../../../trade/types";
import { type Pick as Choice, type Field, known } from "../../../parts/reading/entry";
import { sheetEntry, sheetLimit } from "../../../parts/reading/limits";
import { problemWords } from "../../../parts/reading/problem-words";
import type { FormProps } from "../../../parts/reading/ReadingScreen";
import { sourceWords } from "../../../parts/reading/reason-words";
import { type Live, useLive } from "../../../parts/reading/useLive";
import { type Reading, useReading } from "../../../parts/reading/useReading";
import { useRound } from "../../../round/useRound";
import {
  allFields,
  type Draft,
  NOT_PLANNED,
  type PlanResult,
  type PortCheckDraft,
  planned,
  unitsOnPorts,
} from "./draft";
import { openDraft } from "./go-on";
import { readInputs } from "./rounds";
import type { ReadResult } from "./words";

export type Check = {
  at: FormProps;
  form: Reading<PortCheckDraft, ReadResult>;
  /** On ports, in walking order; once it is begun those of the plan. */
  units: UnitRow[];
  sharing: UnitRow[];
  plan: Live<PlanResult>;
  shareError: string | undefined;
  /** Why there are no rounds, where no field can say it. */
  planProblem: string | undefined;
  /** The last check here, where one more round would tell more. */
  open: Draft | null;
};

/** Usual in the trade, with no source (P); each can be typed over. */
const USUAL = {
  max_share_on: known(60, { unit: "%" }),
  round_s: known(10, { unit: "min" }),
  lag_s: known(5, { unit: "min" }),
  // Of a change, which is two readings: half a kelvin each.
  noise_k: known(0.7, { unit: "K" }),
};
/** The share of the job's limits sheet, where it has one: of 1 there, in hundredths here. */
function usualFor(at: FormProps) {
  const sheet = sheetLimit("max_share_on", at);
  if (!sheet) return { ...USUAL };
  return { ...USUAL, max_share_on: sheetEntry(100 * sheet.value, "percent", { symbol: "%" }) };
}

/** Where the share comes from, while it is the one of the limits sheet. */
export function shareSource({ at, form }: Pick<Check, "at" | "form">): string | null {
  const sheet = sheetLimit("max_share_on", at);
  const ofSheet = usualFor(at).max_share_on;
  if (!sheet || form.draft.typed["max_share_on"]?.text !== ofSheet.text) return null;
  return sourceWords(sheet.source, { mark: sheet.mark });
}

const PICKED = { distance: "3", mode: "cooling", how: "supply" };

export const shareField = (): Field => ({
  name: "max_share_on",
  label: t("field.max_share_on"),
  quantity: "percent",
});

export const settingFields = (): Field[] => [
  { name: "round_s", label: t("field.round_s"), quantity: "minutes" },
  { name: "lag_s", label: t("field.lag_s"), quantity: "minutes" },
  { name: "noise_k", label: t("field.noise_k"), quantity: "temperature_difference" },
];

type Word = `port_check.${"distance_2" | "distance_3" | "distance_4" | "cooling" | "heating"}`;
type How = "port_check.how_supply" | "port_check.how_difference";

function pick(
  name: string,
  { label, options }: { label: string; options: [string, Word | How][] },
) {
  const told = options.map(([value, key]) => ({ value, label: t(key) }));
  return { name, label, options: told } satisfies Choice;
}

export const distancePick = () =>
  pick("distance", {
    label: t("port_check.distance"),
    options: [
      ["2", "port_check.distance_2"],
      ["3", "port_check.distance_3"],
      ["4", "port_check.distance_4"],
    ],
  });

export const modePick = () =>
  pick("mode", {
    label: t("port_check.mode"),
    options: [
      ["cooling", "port_check.cooling"],
      ["heating", "port_check.heating"],
    ],
  });

export const howPick = () =>
  pick("how", {
    label: t("port_check.how"),
    options: [
      ["supply", "port_check.how_supply"],
      ["difference", "port_check.how_difference"],
    ],
  });

/** The share as the engine takes it; null where not even one unit could run. */
function shareOf(percent: number | undefined, { units }: { units: UnitRow[] }): number | null {
  if (percent === undefined || percent > 100 || percent * units.length < 100) return null;
  return percent / 100;
}

function planInputs(form: Reading<PortCheckDraft, ReadResult>, units: UnitRow[]) {
  const share = shareOf(form.values["max_share_on"], { units });
  if (form.draft.own.codes || units.length < 2 || share === null) return null;
  return {
    units: units.map((unit) => ({ unit: unit.id })),
    distance: Number(form.draft.picked["distance"]),
    max_share_on: share,
  };
}

/** Such as more units than one check can tell apart. */
function planWords(problem: EngineError, { fields, entryOf, units }: Check["form"]): string {
  return problemWords(problem, { fields, entryOf, units, calculation: "port_check_plan" });
}

/** What a port check needs on each of its screens. */
export function usePortCheck(at: FormProps): Check {
  const { units: onPorts, sharing } = unitsOnPorts(at);
  const ids = new Set(onPorts.map((unit) => unit.id));
  const walked = useRound(at.view).filter((unit) => ids.has(unit.id));
  const form = useReading<PortCheckDraft, ReadResult>({
    calculation: "port_check_read",
    where: at,
    own: NOT_PLANNED,
    start: (draft) => ({ ...draft, typed: usualFor(at), picked: { ...PICKED } }),
    fields: (draft: Draft) => [
      shareField(),
      ...settingFields(),
      ...(draft.own.codes ? allFields(draft, { units: planned(draft, walked) }) : []),
    ],
    picks: () => [distancePick(), modePick(), howPick()],
    inputs: (values, draft) => readInputs(values, { draft, units: walked }),
    missing: (_, live) => (live.kind === "none" ? t("port_check.no_readings") : undefined),
    repeats: [],
    again: "replaces",
    instruments: "thermometer",
  });
  const plan = useLive<PlanResult>("port_check_plan", { inputs: planInputs(form, walked) });
  const { max_share_on } = form.values;
  const isWrong = max_share_on !== undefined && shareOf(max_share_on, { units: walked }) === null;
  const low = `${Math.ceil(100 / Math.max(1, walked.length))}\u00a0%`;
  return {
    at,
    form,
    units: form.draft.own.codes ? planned(form.draft, walked) : walked,
    sharing,
    plan,
    shareError: isWrong ? t("port_check.share_problem", { low }) : undefined,
    planProblem: plan.kind === "problem" ? planWords(plan.problem, form) : undefined,
    open: openDraft(form.last, { units: walked, settings: Object.keys(USUAL) }),
  };
}
