import { useState } from "preact/hooks";
import { useLocation } from "preact-iso/router";
import { recordReading } from "../../actions/recordReading";
import type { Instrument, SystemRow, UnitRow } from "../../local/rows";
import type { JobView } from "../../queries/job";
import { t } from "../../text";
import { engineVersion } from "../../trade/bridge";
import { wentBackTo } from "../../way-back";
import { failureWords } from "../parts/failure";
import { currentVisit } from "../parts/unit-words";
import { useDraft } from "../parts/useDraft";
import {
  EMPTY_SUPPLY,
  enteredOf,
  hasVoltages,
  latestSupply,
  nextModule,
  notNumbers,
  type SupplyDraft,
  supplyInputs,
  unusualVoltage,
} from "./supply";
import { type Live, useVerdict } from "./useVerdict";

export type Module = { view: JobView; unit: UnitRow; system: SystemRow };

/** What still has to be said before the reading can be kept. */
function missingWords(draft: SupplyDraft, { live, isUnusual }: { live: Live; isUnusual: boolean }) {
  if (notNumbers(draft).length > 0) return t("supply.look_at_numbers");
  if (!hasVoltages(draft)) return t("supply.voltages_needed");
  if (live.kind !== "verdict") return t("supply.look_at_numbers");
  if (draft.rotation === null) return t("supply.rotation_needed");
  if (isUnusual && draft.reason.trim() === "") return t("supply.reason_needed");
  return undefined;
}

function useSave({ view, unit }: Module, { draftKey }: { draftKey: string }) {
  const { route } = useLocation();
  const [trouble, setTrouble] = useState<string>();
  const save = async (draft: SupplyDraft, { live, inputs, instrument }: Kept) => {
    if (!inputs || live.kind !== "verdict") return;
    const next = nextModule(unit, { view });
    const step = view.stepsByUnit.get(unit.id)?.find((one) => one.code === "supply");
    const result = await recordReading({
      jobId: view.job.id,
      calculation: "supply_power",
      systemId: unit.system_id,
      unitId: unit.id,
      stepId: step?.id ?? null,
      visitId: currentVisit(view)?.id ?? null,
      inputs,
      entered: enteredOf(draft),
      outputs: live.result,
      verdict: live.result.verdict,
      engineVersion: await engineVersion(),
      instrument,
      reason: draft.reason.trim() || null,
      replacesId: latestSupply(unit, { view })?.id ?? null,
      draftKey,
    });
    if (!result.ok) return setTrouble(failureWords(result));
    const job = `/job/${view.job.id}`;
    // Module after module is one step for the back button: it leads to the job.
    if (next) route(`${job}/supply/${next.id}?saved=${unit.id}`, true);
    else if (!wentBackTo(job)) route(job, true);
  };
  return { trouble, save };
}

type Kept = { live: Live; inputs: Record<string, unknown> | null; instrument: Instrument | null };

/** The reading of one module while it is typed: what was typed, its verdict, and saving it. */
export function useSupply(module: Module, { instrument }: { instrument: Instrument | null }) {
  const { view, unit, system } = module;
  const draftKey = `supply:${unit.id}`;
  const { value, change, ready } = useDraft<SupplyDraft>(draftKey, { empty: EMPTY_SUPPLY });
  const wrong = notNumbers(value);
  const isWhole = hasVoltages(value) && wrong.length === 0 && system.nominal_v !== null;
  const inputs = isWhole ? supplyInputs(value, { system, limits: view.limits }) : null;
  const live = useVerdict(inputs);
  const isUnusual =
    live.kind === "verdict" &&
    system.nominal_v !== null &&
    unusualVoltage(value, { nominal_v: system.nominal_v }) !== undefined;
  const { trouble, save } = useSave(module, { draftKey });
  return {
    value,
    change,
    ready,
    wrong,
    live,
    isUnusual,
    trouble,
    missing: missingWords(value, { live, isUnusual }),
    save: () => save(value, { live, inputs, instrument }),
  };
}

export type SupplyForm = ReturnType<typeof useSupply>;
