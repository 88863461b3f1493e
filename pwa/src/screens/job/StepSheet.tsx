import { useState } from "preact/hooks";
import { markStep } from "../../actions/markStep";
import { ButtonLink } from "../../components/Button";
import { Caution } from "../../components/Caution";
import { Choice } from "../../components/Choice";
import { Notice } from "../../components/Notice";
import { Sheet } from "../../components/Sheet";
import type { StepRow, StepState } from "../../local/rows";
import type { JobView } from "../../queries/job";
import { t } from "../../text";
import type { JobPlan, PlanGroup } from "../../trade/types";
import { failureWords } from "../parts/failure";
import { issueRef } from "../parts/issue-words";
import { whyWords } from "../parts/plan-words";
import { wordsFor } from "../parts/unit-words";
import { cautionsOf } from "./cautions";
import { StepTick } from "./StepTick";

type Props = { view: JobView; plan: JobPlan; group: PlanGroup; onClose: () => void };
type Mark = Exclude<StepState, "todo">;

function stepsOf(group: PlanGroup, view: JobView): StepRow[] {
  const order = new Map(view.units.map((unit, index) => [unit.id, index]));
  const place = (step: StepRow) => order.get(step.unit_id ?? "") ?? -1;
  return view.steps
    .filter((step) => step.code === group.code && step.system_id === group.system_id)
    .sort((a, b) => place(a) - place(b));
}

/** Why it is gated, and the way to each issue that stops it. */
function Gate({ view, plan, group }: Omit<Props, "onClose">) {
  if (group.why.length === 0) return null;
  const issues = group.why.flatMap((why) => view.issueById.get(why.id) ?? []);
  return (
    <Notice>
      <p>{whyWords(group.why, { view, plan })}</p>
      <div class="row">
        {issues.map((issue) => (
          <ButtonLink key={issue.id} href={`/job/${view.job.id}/issue/${issue.id}`}>
            {t("sheet.open_issue", { issue: issueRef(issue).toLowerCase() })}
          </ButtonLink>
        ))}
      </div>
    </Notice>
  );
}

/** One step of the line: what it is, its caution, and a tick for each unit it is done on. */
export function StepSheet({ view, plan, group, onClose }: Props) {
  const [mark, setMark] = useState<Mark>("done");
  const [trouble, setTrouble] = useState<string>();
  const steps = stepsOf(group, view);
  const press = async (step: StepRow) => {
    const state = step.state === mark ? "todo" : mark;
    const result = await markStep({ jobId: view.job.id, stepId: step.id, state });
    setTrouble(result.ok ? undefined : failureWords(result));
  };
  return (
    <Sheet
      title={wordsFor("step", group.code)}
      under={t("sheet.count", { done: group.done, total: group.total })}
      onClose={onClose}
    >
      <p>{wordsFor("step_what", group.code)}</p>
      {cautionsOf(group.code).map((words) => (
        <Caution key={words} place="alone">
          {words}
        </Caution>
      ))}
      <Gate view={view} plan={plan} group={group} />
      {trouble && (
        <Notice kind="bad" urgency="now">
          {trouble}
        </Notice>
      )}
      {group.code !== "supply" && (
        <Choice
          label={t("sheet.a_press_marks")}
          value={mark}
          onPick={setMark}
          options={[
            { value: "done", label: t("state.done") },
            { value: "failed", label: t("sheet.failed") },
            { value: "not_applicable", label: t("state.not_applicable") },
          ]}
        />
      )}
      <ul>
        {steps.map((step) => (
          <li key={step.id}>
            <StepTick
              view={view}
              step={step}
              stopped={group.stopped_units.includes(step.unit_id ?? "")}
              onPress={() => void press(step)}
            />
          </li>
        ))}
      </ul>
    </Sheet>
  );
}
