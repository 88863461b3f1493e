import { useState } from "preact/hooks";
import { rememberInUse } from "../../../actions/prefer";
import { recordReading } from "../../../actions/recordReading";
import type { KeptInstrument } from "../../../local/preferences";
import { t } from "../../../text";
import { compute, engineVersion } from "../../../trade/bridge";
import { failureWords } from "../failure";
import { currentVisit } from "../unit-words";
import { lastHere } from "./before";
import { enteredOf, type Field, type Pick, type ReadingDraft } from "./entry";
import { written } from "./instruments";
import type { Result } from "./useLive";
import { type Asked, draftKeyOf, type Inputs, type Saved } from "./useReading";

type Kept<Own extends object, R extends Result> = {
  asked: Asked<Own, R>;
  draft: ReadingDraft<Own>;
  fields: Field[];
  picks: Pick[];
  inputs: Inputs | null;
  instruments: KeptInstrument[];
  kind: string;
};

/** Worked out once more from what is typed now: the record never holds an older answer. */
async function keep<Own extends object, R extends Result>(kept: Kept<Own, R>) {
  const { asked, draft, fields, picks, inputs, instruments, kind } = kept;
  const { calculation, where } = asked;
  if (!inputs) return null;
  const answer = await compute<R>(calculation, inputs);
  if (!answer.ok) return null;
  const before = asked.again === "replaces" ? lastHere(calculation, where) : undefined;
  const saved = await recordReading({
    jobId: where.view.job.id,
    calculation,
    systemId: where.system?.id ?? null,
    unitId: where.unit?.id ?? null,
    stepId: where.step?.id ?? null,
    visitId: currentVisit(where.view)?.id ?? null,
    inputs,
    entered: { ...enteredOf(fields, { draft, picks }), ...asked.entered?.(draft) },
    outputs: answer.result,
    verdict: answer.result.verdict ?? null,
    engineVersion: await engineVersion(),
    instrument: written(instruments),
    reason: draft.reason.trim() || null,
    replacesId: before?.id ?? null,
    doneStepId: asked.doneStep?.(draft) ?? null,
    draftKey: draftKeyOf(calculation, where),
  });
  void rememberInUse(kind, { ids: instruments.map((one) => one.id) });
  return { saved, result: answer.result };
}

export function useSaving<Own extends object, R extends Result>(kept: Kept<Own, R>) {
  const [trouble, setTrouble] = useState<string>();
  const [saved, setSaved] = useState<Saved>();
  const [isBusy, setBusy] = useState(false);
  const save = async () => {
    if (isBusy || saved) return;
    setBusy(true);
    const done = await keep(kept).catch((problem: unknown) => void reportError(problem));
    setBusy(false);
    if (!done) return setTrouble(t("problem.engine_failed"));
    if (!done.saved.ok) return setTrouble(failureWords(done.saved));
    setSaved({ id: done.saved.id, result: done.result });
  };
  return { trouble, saved, save, isBusy };
}
