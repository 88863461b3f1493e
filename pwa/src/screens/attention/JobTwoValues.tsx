import { useEffect } from "preact/hooks";
import { markStep } from "../../actions/markStep";
import { type SetIssue, setIssue } from "../../actions/setIssue";
import { type SetUnit, setUnit } from "../../actions/setUnit";
import { type SetVisit, setVisit } from "../../actions/setVisit";
import { Button, ButtonLink } from "../../components/Button";
import { Notice } from "../../components/Notice";
import { StateShape } from "../../components/StateShape";
import { formatDayTime } from "../../format";
import type { Result } from "../../local/result";
import { type JobView, useJob } from "../../queries/job";
import { usePeople } from "../../queries/people";
import { t } from "../../text";
import { issueRef } from "../parts/issue-words";
import { useDoing } from "../parts/useDoing";
import { fieldWords, stepName, valueWords, visitWords } from "./field-words";
import { placeOfRow, type TwoValues, twoValuesOf } from "./two-values";
import { leadWords, nowWords } from "./two-words";

type Props = { jobId: string; onCount: (count: number) => void };

/** Writing the field again settles it, whichever of the values is written. */
async function settle(
  two: TwoValues,
  { view, value }: { view: JobView; value: unknown },
): Promise<Result> {
  const jobId = view.job.id;
  const changes = { [two.field]: value };
  if (two.table === "issue") {
    return await setIssue({ jobId, issueId: two.id, changes: changes as SetIssue["changes"] });
  }
  if (two.table === "unit") {
    return await setUnit({ jobId, unitId: two.id, changes: changes as SetUnit["changes"] });
  }
  if (two.table === "visit") {
    return await setVisit({ jobId, visitId: two.id, changes: changes as SetVisit["changes"] });
  }
  return await markStep({ jobId, stepId: two.id, ...changes });
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
  if (two.table === "visit") return visitWords(two.id, { view });
  const issue = view.issueById.get(two.id);
  return issue ? issueRef(issue) : "";
}

function Two({ two, view }: { two: TwoValues; view: JobView }) {
  const { time_zone: zone, name } = view.job;
  const { trouble, run } = useDoing();
  const pick = (value: unknown) => void run(() => settle(two, { view, value }));
  const people = usePeople().value;
  const words = (value: unknown) => valueWords(value, { field: two.field, view, people });
  return (
    <li class="attention-item stack">
      <div class="attention-head">
        <StateShape state="unclear" says="shape" />
        <div>
          <h2>
            {rowName(two, { view })}: {fieldWords(two.field)}
          </h2>
          <p class="quiet-text">{[leadWords(two), name].join(" · ")}</p>
        </div>
      </div>
      <div class="attention-pair">
        <Value
          from={nowWords(two, { zone })}
          words={words(two.now)}
          pick={t("attention.keep_now")}
          onPick={() => pick(two.now)}
        />
        {two.others.map(({ value, by_name, at }) => (
          <Value
            key={`${at} ${by_name}`}
            from={t("attention.value_other", { name: by_name, when: formatDayTime(at, { zone }) })}
            words={words(value)}
            pick={t("attention.take_other")}
            onPick={() => pick(value)}
          />
        ))}
      </div>
      {trouble && (
        <Notice kind="bad" urgency="now">
          {trouble}
        </Notice>
      )}
      <ButtonLink kind="quiet" href={placeOfRow(two, { view })}>
        {t("attention.open_row")}
      </ButtonLink>
    </li>
  );
}

type ValueProps = { from: string; words: string; pick: string; onPick: () => void };

function Value({ from, words, pick, onPick }: ValueProps) {
  return (
    <div class="attention-value">
      <p class="quiet-text">{from}</p>
      <p>
        <b>{words}</b>
      </p>
      <Button onPress={onPick}>{pick}</Button>
    </div>
  );
}
