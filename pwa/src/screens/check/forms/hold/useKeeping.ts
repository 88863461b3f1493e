import { useEffect, useRef, useState } from "preact/hooks";
import { rememberInUse } from "../../../../actions/prefer";
import { recordHold } from "../../../../actions/recordHold";
import { brokenOff } from "../../../../local/result";
import { ENDED, type Hold } from "../../../../queries/holds";
import { t } from "../../../../text";
import { compute, engineVersion } from "../../../../trade/bridge";
import { failureWords } from "../../../parts/failure";
import { written } from "../../../parts/reading/instruments";
import type { FormProps } from "../../../parts/reading/ReadingScreen";
import type { Result } from "../../../parts/reading/useLive";
import { draftKeyOf } from "../../../parts/reading/useReading";
import { currentVisit } from "../../../parts/unit-words";
import { type HoldRecord, recordOf, setupFor } from "./record";
import type { Held } from "./useHold";

/** The step that a mistaken reading of this hold had settled, and that is open again without it. */
function reopened(hold: Hold | undefined, { at, result }: { at: FormProps; result: Result }) {
  const { step } = at;
  const isOurs = step?.reading_id && hold?.ids.has(step.reading_id);
  const isSettled = step?.state === "done" || step?.state === "failed";
  return isOurs && isSettled && result.verdict === "unclear" ? step.id : null;
}

export type Keeping = Pick<Held, "kind" | "at" | "hold" | "edit" | "form">;

/** Worked out once more from what is typed now, then written strictly, the draft with it. */
async function keep(record: HoldRecord, { kind, at, hold, edit, form }: Keeping) {
  const { calculation } = kind;
  const answer = await compute<Result>(calculation, record.inputs);
  if (!answer.ok) return null;
  const replaced = edit.kind === "begin" ? undefined : hold;
  const inUse = form.instruments.length > 0 ? written(form.instruments) : replaced?.tip.instrument;
  void rememberInUse(kind.instruments, { ids: form.instruments.map((one) => one.id) });
  return await recordHold({
    jobId: at.view.job.id,
    calculation,
    systemId: at.system?.id ?? null,
    unitId: null,
    stepId: at.step?.id ?? null,
    visitId: currentVisit(at.view)?.id ?? null,
    ...record,
    outputs: answer.result,
    verdict: answer.result.verdict ?? null,
    engineVersion: await engineVersion(),
    instrument: inUse ?? null,
    reason: form.draft.reason.trim() || null,
    replacesId: replaced?.tip.id ?? null,
    draftKey: draftKeyOf(calculation, at),
    reopensStepId: reopened(replaced, { at, result: answer.result }),
  });
}

/** One press, one save; then the hold is looked at again, from a form without what was typed. */
export function useKeeping(of: Keeping, { onKept }: { onKept: (id: string) => void }) {
  const [trouble, setTrouble] = useState<string>();
  const [isBusy, setBusy] = useState(false);
  const hasBegun = useRef(false);
  const isLeft = useRef(false);
  useEffect(
    () => () => {
      isLeft.current = true;
    },
    [],
  );
  const tellBusy = (is: boolean) => {
    hasBegun.current = is;
    setBusy(is);
  };
  const put = async (record: HoldRecord | null) => {
    if (hasBegun.current || !record) return;
    tellBusy(true);
    const kept = await keep(record, of).catch(brokenOff);
    tellBusy(false);
    if (!kept) return setTrouble(t("problem.engine_failed"));
    if (!kept.ok) return setTrouble(failureWords(kept));
    // Whoever has gone elsewhere meanwhile is not taken back.
    if (!isLeft.current) onKept(kept.id);
  };
  return { trouble, put, isBusy };
}

/** The same readings once more, with who ended it and why. */
export function ended(hold: Hold, why: string): HoldRecord {
  const { inputs, entered } = recordOf(hold.points, setupFor(hold, hold.points));
  return { inputs, entered: { ...entered, [ENDED]: { text: why.trim() || "–", unit: "" } } };
}
