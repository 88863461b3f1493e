import { useEffect } from "preact/hooks";
import { markStep } from "../../actions/markStep";
import { type SetIssue, setIssue } from "../../actions/setIssue";
import { type SetUnit, setUnit } from "../../actions/setUnit";
import { Button, ButtonLink } from "../../components/Button";
import { StateShape } from "../../components/StateShape";
import { formatDayTime } from "../../format";
import { type JobView, useJob } from "../../queries/job";
import { hasText, t } from "../../text";
import { issueRef } from "../parts/issue-words";
import { wordsFor } from "../parts/unit-words";
import { placeOfRow, type TwoValues, twoValuesOf } from "./two-values";

type Props = { jobId: string; onCount: (count: number) => void };

/** Writing the field again settles it, whichever of the two is written. */
async function settle(
  two: TwoValues,
  { view, value }: { view: JobView; value: unknown },
): Promise<void> {
  const jobId = view.job.id;
  const changes = { [two.field]: value };
  if (two.table === "issue") {
    await setIssue({ jobId, issueId: two.id, changes: changes as SetIssue["changes"] });
  } else if (two.table === "unit") {
    await setUnit({ jobId, unitId: two.id, changes: changes as SetUnit["changes"] });
  } else {
    const state = view.stepById.get(two.id)?.state ?? "todo";
    await markStep({ jobId, stepId: two.id, state, ...changes });
  }
}

export function JobTwoValues({ jobId, onCount }: Props) {
  const view = useJob(jobId).value;
  const twos = view ? twoValuesOf(view) : [];
  useEffect(() => onCount(twos.length), [twos.length]);
  if (!view || twos.length === 0) return null;
  return (
    <ul>
      {twos.map((two) => (
        <Two key={`${two.id} ${two.field}`} two={two} view={view} />
      ))}
    </ul>
  );
}

function rowName(two: TwoValues, { view }: { view: JobView }): string {
  if (two.table === "unit") return view.unitById.get(two.id)?.tag ?? "";
  if (two.table === "step") return stepName(two.id, { view });
  const issue = view.issueById.get(two.id);
  return issue ? issueRef(issue) : "";
}

function stepName(id: string, { view }: { view: JobView }): string {
  const step = view.stepById.get(id);
  const tag = step?.unit_id && view.unitById.get(step.unit_id)?.tag;
  return [step && wordsFor("step", step.code), tag].filter(Boolean).join(" · ");
}

function shown(value: unknown, { field }: { field: string }): string {
  const word = `attention.state.${value}`;
  if (field === "state" && hasText(word)) return t(word);
  if (value instanceof Object) return JSON.stringify(value);
  return value === null || value === undefined || value === ""
    ? t("attention.empty_value")
    : String(value);
}

function Two({ two, view }: { two: TwoValues; view: JobView }) {
  const { time_zone: zone, name } = view.job;
  const field = `attention.field.${two.field}`;
  const fieldName = hasText(field) ? t(field) : two.field.replaceAll("_", " ");
  const pick = (value: unknown) => void settle(two, { view, value });
  const when = formatDayTime(two.other.at, { zone });
  return (
    <li class="attention-item stack">
      <div class="attention-head">
        <StateShape state="unclear" says="shape" />
        <div>
          <h2>
            {rowName(two, { view })}: {t("attention.two_values")}
          </h2>
          <p class="quiet-text">{name}</p>
        </div>
      </div>
      <p>{t("attention.two_lead", { field: fieldName })}</p>
      <div class="attention-pair">
        <div class="attention-value">
          <p class="quiet-text">{t("attention.value_now")}</p>
          <p>
            <b>{shown(two.now, two)}</b>
          </p>
          <Button onPress={() => pick(two.now)}>{t("attention.keep_now")}</Button>
        </div>
        <div class="attention-value">
          <p class="quiet-text">{t("attention.value_other", { name: two.other.by_name, when })}</p>
          <p>
            <b>{shown(two.other.value, two)}</b>
          </p>
          <Button onPress={() => pick(two.other.value)}>{t("attention.take_other")}</Button>
        </div>
      </div>
      <ButtonLink kind="quiet" href={placeOfRow(two, { view })}>
        {t("attention.open_row")}
      </ButtonLink>
    </li>
  );
}
