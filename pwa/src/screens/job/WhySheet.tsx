import { useState } from "preact/hooks";
import { markStep } from "../../actions/markStep";
import { Button } from "../../components/Button";
import { Choice } from "../../components/Choice";
import { Notice } from "../../components/Notice";
import { Sheet } from "../../components/Sheet";
import { TextArea } from "../../components/TextField";
import type { Failure } from "../../local/result";
import type { StepRow } from "../../local/rows";
import { t } from "../../text";
import { troubleWords } from "../parts/failure";
import { isGated } from "../parts/step-gate";
import { wordsFor } from "../parts/unit-words";
import { useDraft } from "../parts/useDraft";
import { Gate, type OfGroup, StepCautions } from "./Gate";
import { MARKS, type Mark } from "./marks";

type Props = OfGroup & { step: StepRow; mark: Mark | null; onClose: () => void };

function missingWords({ state, note }: { state: Mark | null; note: string }): string | undefined {
  if (state === null) return t("sheet.state_needed");
  return note.trim() === "" ? t("sheet.why_needed") : undefined;
}

function labelOf(state: Mark | null, { gate }: { gate: "shut" | "open" }) {
  if (state === "not_applicable") return t("sheet.why_not_applicable");
  return t(gate === "shut" && state !== "failed" ? "sheet.why_gated" : "sheet.why_failed");
}

/** A gated step and one that does not apply are marked with a reason, which stays on the record. */
export function WhySheet({ step, mark, onClose, ...of }: Props) {
  const { view, group } = of;
  const draftKey = `why:${step.id}:${mark ?? "any"}`;
  const { value, change, room } = useDraft(draftKey, { empty: { note: "", state: mark } });
  const [failure, setFailure] = useState<Failure>();
  const gate = isGated(step, { group }) ? "shut" : "open";
  const { state, note } = value;
  const save = async () => {
    if (state === null) return;
    const what = { jobId: view.job.id, stepId: step.id, state, note: note.trim(), draftKey };
    const result = await markStep(what);
    if (result.ok) onClose();
    else setFailure(result);
  };
  const trouble = troubleWords(failure, { room });
  const unit = step.unit_id ? view.unitById.get(step.unit_id) : undefined;
  return (
    <Sheet
      title={wordsFor("step", step.code)}
      under={[unit?.tag, gate === "shut" && t("sheet.gated_press")].filter(Boolean).join(" · ")}
      onClose={onClose}
      bottom={
        <Button notYet={missingWords(value)} onPress={() => void save()}>
          {t("sheet.save_why")}
        </Button>
      }
    >
      {gate === "shut" && <Gate {...of} />}
      <StepCautions {...of} />
      {trouble && (
        <Notice kind="bad" urgency="now">
          {trouble}
        </Notice>
      )}
      <Choice
        label={t("sheet.marked_as")}
        value={state}
        onPick={(picked) => change({ state: picked })}
        options={MARKS.map((one) => ({ value: one, label: t(`sheet.mark_${one}`) }))}
      />
      <TextArea
        label={labelOf(state, { gate })}
        hint={t("sheet.why_hint")}
        value={note}
        onInput={(words) => change({ note: words })}
      />
    </Sheet>
  );
}
