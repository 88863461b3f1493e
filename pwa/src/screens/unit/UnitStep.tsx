import { type State, StateShape } from "../../components/StateShape";
import { formatDayTime } from "../../format/time";
import type { StepRow } from "../../local/rows";
import type { JobView } from "../../queries/job";
import { t } from "../../text";
import type { JobPlan } from "../../trade/types";
import { whyWords } from "../parts/plan-words";
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
  onMark: (state: StepRow["state"]) => void;
};

function gateWords({ view, plan, step }: Omit<Props, "onMark">): string | null {
  const group = plan?.groups.find(
    (one) => one.code === step.code && one.system_id === step.system_id,
  );
  if (!plan || !group || step.state !== "todo") return null;
  const stopped = group.stopped_units.includes(step.unit_id ?? "") || group.state === "gated";
  return stopped && group.why.length > 0 ? whyWords(group.why, { view, plan }) : null;
}

/** One press marks a step of this unit done, another takes it back. */
export function UnitStep({ onMark, ...of }: Props) {
  const { view, step } = of;
  const why = gateWords(of);
  const done = step.done_at && step.state === "done";
  const inside = (
    <>
      <StateShape state={why ? "gated" : SHAPE[step.state]} says="shape" />
      <span class="unit-row-words">
        <span class="unit-row-tag">{wordsFor("step", step.code)}</span>
        {why && <span class="quiet-text block">{why}</span>}
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
    <button
      type="button"
      class="unit-row"
      aria-pressed={step.state !== "todo"}
      onClick={() => onMark(step.state === "todo" ? "done" : "todo")}
    >
      {inside}
    </button>
  );
}
