import { useEffect } from "preact/hooks";
import { type SetIssue, setIssue } from "../../actions/setIssue";
import { type SetUnit, setUnit } from "../../actions/setUnit";
import { Button } from "../../components/Button";
import { StateShape } from "../../components/StateShape";
import { formatDayTime } from "../../format";
import { type JobView, useJob } from "../../queries/job";
import { hasText, t } from "../../text";
import { issueRef } from "../parts/issue-words";
import { type TwoValues, twoValuesOf } from "./two-values";

type Props = { jobId: string; onCount: (count: number) => void };

/** Writing the field again settles it, whichever of the two is written. */
async function settle(
  two: TwoValues,
  { jobId, value }: { jobId: string; value: unknown },
): Promise<void> {
  const changes = { [two.field]: value };
  if (two.table === "issue") {
    await setIssue({ jobId, issueId: two.id, changes: changes as SetIssue["changes"] });
  } else {
    await setUnit({ jobId, unitId: two.id, changes: changes as SetUnit["changes"] });
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
  const issue = view.issueById.get(two.id);
  return issue ? issueRef(issue) : "";
}

function shown(value: unknown): string {
  return value === null || value === undefined || value === ""
    ? t("attention.empty_value")
    : String(value);
}

function Two({ two, view }: { two: TwoValues; view: JobView }) {
  const { id: jobId, time_zone: zone, name } = view.job;
  const field = `attention.field.${two.field}`;
  const fieldName = hasText(field) ? t(field) : two.field.replaceAll("_", " ");
  const pick = (value: unknown) => void settle(two, { jobId, value });
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
            <b>{shown(two.now)}</b>
          </p>
          <Button onPress={() => pick(two.now)}>{t("attention.keep_now")}</Button>
        </div>
        <div class="attention-value">
          <p class="quiet-text">{t("attention.value_other", { name: two.other.by_name, when })}</p>
          <p>
            <b>{shown(two.other.value)}</b>
          </p>
          <Button onPress={() => pick(two.other.value)}>{t("attention.take_other")}</Button>
        </div>
      </div>
    </li>
  );
}
