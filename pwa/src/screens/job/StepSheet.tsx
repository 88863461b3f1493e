import { useState } from "preact/hooks";
import { markStep } from "../../actions/markStep";
import { Choice } from "../../components/Choice";
import { Notice } from "../../components/Notice";
import { Sheet } from "../../components/Sheet";
import type { StepRow } from "../../local/rows";
import type { JobView } from "../../queries/job";
import { t } from "../../text";
import type { PlanGroup } from "../../trade/types";
import { StepChecks } from "../check/CheckLinks";
import { failureWords } from "../parts/failure";
import { StepReadings } from "../parts/StepReadings";
import { asksWhy, isGated } from "../parts/step-gate";
import { wordsFor } from "../parts/unit-words";
import { Gate, type OfGroup, StepCautions } from "./Gate";
import { MARKS, type Mark } from "./marks";
import { StepTick } from "./StepTick";
import { WhySheet } from "./WhySheet";

type Props = OfGroup & { onClose: () => void };

function stepsOf(group: PlanGroup, view: JobView): StepRow[] {
  const order = new Map(view.units.map((unit, index) => [unit.id, index]));
  const place = (step: StepRow) => order.get(step.unit_id ?? "") ?? -1;
  return view.steps
    .filter((step) => step.code === group.code && step.system_id === group.system_id)
    .sort((a, b) => place(a) - place(b));
}

/** What a press does. Where everything is gated nothing is offered: each press asks. */
function MarkChoice({ mark, onPick }: { mark: Mark; onPick: (mark: Mark) => void }) {
  return (
    <Choice
      label={t("sheet.a_press_marks")}
      value={mark}
      onPick={onPick}
      options={MARKS.map((value) => ({ value, label: t(`sheet.mark_${value}`) }))}
    />
  );
}

/** What was marked goes back to open by the same press; its reason goes with it. */
function useMarking({ view, group }: OfGroup, { mark }: { mark: Mark }) {
  const [trouble, setTrouble] = useState<string>();
  const [asked, setAsked] = useState<StepRow>();
  const isShut = group.state === "gated";
  const press = async (step: StepRow) => {
    const isBack = isShut ? step.state !== "todo" : step.state === mark;
    const state = isBack ? "todo" : mark;
    if (asksWhy(step, { group, state })) return setAsked(step);
    const note = isBack && step.note ? "" : null;
    const result = await markStep({ jobId: view.job.id, stepId: step.id, state, note });
    setTrouble(result.ok ? undefined : failureWords(result));
  };
  return { trouble, press, asked, answered: () => setAsked(undefined) };
}

/** One step of the line: what it is, its caution, and a tick for each unit it is done on. */
export function StepSheet({ onClose, ...of }: Props) {
  const { view, group } = of;
  const [mark, setMark] = useState<Mark>("done");
  const { trouble, press, asked, answered } = useMarking(of, { mark });
  const isShut = group.state === "gated";
  if (asked) {
    return <WhySheet {...of} step={asked} mark={isShut ? null : mark} onClose={answered} />;
  }
  return (
    <Sheet
      title={wordsFor("step", group.code)}
      under={t("sheet.count", { done: group.done, total: group.total })}
      onClose={onClose}
    >
      <Gate {...of} />
      <p>{wordsFor("step_what", group.code)}</p>
      <StepCautions {...of} />
      <StepChecks view={view} system={view.systemById.get(group.system_id)} code={group.code} />
      <StepReadings view={view} steps={stepsOf(group, view)} />
      {trouble && (
        <Notice kind="bad" urgency="now">
          {trouble}
        </Notice>
      )}
      {group.code !== "supply" && !isShut && <MarkChoice mark={mark} onPick={setMark} />}
      {group.code !== "supply" && isShut && <p>{t("sheet.gated_press_long")}</p>}
      <ul>
        {stepsOf(group, view).map((step) => (
          <li key={step.id}>
            <StepTick
              view={view}
              step={step}
              stopped={isGated(step, { group })}
              onPress={() => void press(step)}
            />
          </li>
        ))}
      </ul>
    </Sheet>
  );
}
