import { type State, StateShape } from "../../components/StateShape";
import { formatDayTime } from "../../format/time";
import type { StepRow } from "../../local/rows";
import type { JobView } from "../../queries/job";
import { t } from "../../text";
import type { JobPlan } from "../../trade/types";
import { whyWords } from "../parts/plan-words";
import { isGated } from "../parts/step-gate";
import { wordsFor } from "../parts/unit-words";

const SHAPE: Record<StepRow["state"], State> = {
  todo: "todo",
  done: "done",
  failed: "fail",
  not_applicable: "not_applicable",
};

type Props = {
  view: JobView;
  plan: JobPlan | undefined;
  step: StepRow;
  onPress: () => void;
};

export function groupOf(step: StepRow, { plan }: { plan: JobPlan | undefined }) {
  return plan?.groups.find((one) => one.code === step.code && one.system_id === step.system_id);
}

function gateWords({ view, plan, step }: Omit<Props, "onPress">): string | null {
  const group = groupOf(step, { plan });
  if (!plan || !group || !isGated(step, { group })) return null;
  return whyWords(group.why, { view, plan }) || t("state.gated");
}

/** One press marks a step of this unit done, another takes it back; a gated one asks why. */
export function UnitStep({ onPress, ...of }: Props) {
  const { view, step } = of;
  const why = gateWords(of);
  const done = step.done_at && step.state === "done";
  const inside = (
    <>
      <StateShape state={why ? "gated" : SHAPE[step.state]} says="shape" />
      <span class="unit-row-words">
        <span class="unit-row-tag">{wordsFor("step", step.code)}</span>
        {why && <span class="quiet-text block">{why}</span>}
        {step.note && <span class="quiet-text block">{step.note}</span>}
        {done && (
          <span class="quiet-text block">
            {formatDayTime(step.done_at ?? "", { zone: view.job.time_zone })}
          </span>
        )}
      </span>
      <span class="unit-row-end">{t(`state.${why ? "gated" : SHAPE[step.state]}`)}</span>
    </>
  );
  if (step.code === "supply") {
    return (
      <a class="unit-row" href={`/job/${view.job.id}/supply/${step.unit_id}`}>
        {inside}
      </a>
    );
  }
  return (
    <button type="button" class="unit-row" aria-pressed={step.state !== "todo"} onClick={onPress}>
      {inside}
    </button>
  );
}
