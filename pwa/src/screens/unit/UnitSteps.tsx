import { useState } from "preact/hooks";
import { markStep } from "../../actions/markStep";
import { Notice } from "../../components/Notice";
import type { StepRow, UnitRow } from "../../local/rows";
import type { JobView } from "../../queries/job";
import { usePlan } from "../../queries/plan";
import { t } from "../../text";
import { WhySheet } from "../job/WhySheet";
import { failureWords } from "../parts/failure";
import { asksWhy } from "../parts/step-gate";
import { groupOf, UnitStep } from "./UnitStep";

type Props = { view: JobView; unit: UnitRow };

/** The steps of one unit. Until the plan has come nothing is known to be gated. */
export function UnitSteps({ view, unit }: Props) {
  const plan = usePlan(view.job.id).value;
  const [trouble, setTrouble] = useState<string>();
  const [asked, setAsked] = useState<StepRow>();
  const steps = view.stepsByUnit.get(unit.id) ?? [];
  if (steps.length === 0) return null;
  const press = async (step: StepRow) => {
    const state = step.state === "todo" ? "done" : "todo";
    const group = groupOf(step, { plan });
    if (group && asksWhy(step, { group, state })) return setAsked(step);
    const note = state === "todo" && step.note ? "" : null;
    const result = await markStep({ jobId: view.job.id, stepId: step.id, state, note });
    setTrouble(result.ok ? undefined : failureWords(result));
  };
  const group = asked && groupOf(asked, { plan });
  return (
    <section>
      <h2 class="section-title">{t("unit.steps")}</h2>
      {trouble && (
        <Notice kind="bad" urgency="now">
          {trouble}
        </Notice>
      )}
      {steps.map((step) => (
        <UnitStep
          key={step.id}
          view={view}
          step={step}
          plan={plan}
          onPress={() => void press(step)}
        />
      ))}
      {plan && asked && group && (
        <WhySheet
          view={view}
          plan={plan}
          group={group}
          step={asked}
          mark={null}
          onClose={() => setAsked(undefined)}
        />
      )}
    </section>
  );
}
