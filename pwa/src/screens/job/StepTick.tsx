import { type State, StateShape } from "../../components/StateShape";
import { daysFrom, formatDay, formatTime } from "../../format/time";
import type { StepRow } from "../../local/rows";
import type { JobView } from "../../queries/job";
import { t } from "../../text";
import { placeOf, wordsFor } from "../parts/unit-words";

const SHAPE: Record<StepRow["state"], State> = {
  todo: "todo",
  done: "done",
  failed: "fail",
  not_applicable: "not_applicable",
};

type Props = { view: JobView; step: StepRow; stopped: boolean; onPress: () => void };

function endWords({ view, step, stopped }: Omit<Props, "onPress">): string {
  if (step.state === "todo") return stopped ? t("state.gated") : t("state.todo");
  if (step.state !== "done" || !step.done_at) return t(`state.${SHAPE[step.state]}`);
  const zone = view.job.time_zone;
  const isToday = daysFrom(step.done_at, { to: Date.now() / 1000, zone }) === 0;
  return isToday ? formatTime(step.done_at, { zone }) : formatDay(step.done_at, { zone });
}

/**
 * One press marks, another takes it back; several in a row without leaving the
 * list. A supply step is not ticked but measured, so it leads to its reading.
 */
export function StepTick(props: Props) {
  const { view, step, stopped, onPress } = props;
  const unit = step.unit_id ? view.unitById.get(step.unit_id) : undefined;
  const shape = step.state === "todo" && stopped ? "gated" : SHAPE[step.state];
  const inside = (
    <>
      <StateShape state={shape} says="shape" />
      <span class="unit-row-words">
        <span class="unit-row-tag">{unit?.tag ?? wordsFor("step", step.code)}</span>
        {unit && <span class="quiet-text block">{placeOf(unit)}</span>}
        {step.note && <span class="quiet-text block">{step.note}</span>}
      </span>
      <span class="unit-row-end">{endWords(props)}</span>
    </>
  );
  if (step.code === "supply" && unit) {
    return (
      <a class="unit-row" href={`/job/${view.job.id}/supply/${unit.id}`}>
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
