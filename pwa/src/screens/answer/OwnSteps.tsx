import { useState } from "preact/hooks";
import { markStep } from "../../actions/markStep";
import { Button } from "../../components/Button";
import { Caution } from "../../components/Caution";
import { Notice } from "../../components/Notice";
import { Sheet } from "../../components/Sheet";
import { type LineStep, StepLine } from "../../components/StepLine";
import { TextArea } from "../../components/TextField";
import { formatDuration } from "../../format";
import type { Result } from "../../local/result";
import type { JobView } from "../../queries/job";
import { hasText, t } from "../../text";
import type { JobPlan, PlanGroup } from "../../trade/types";
import { cautionsOf } from "../job/cautions";
import { onePress } from "../parts/one-press";
import { whyWords } from "../parts/plan-words";
import { wordsFor } from "../parts/unit-words";
import { useDraft } from "../parts/useDraft";
import { ownSteps } from "./answer-list";

type Props = { plan: JobPlan; view: JobView };

function reasonWords(group: PlanGroup, context: Props): string {
  const why = whyWords(group.why, context);
  if (why) return why;
  return group.reset_by.length > 0 ? t("answer.step_again") : "";
}

function hoursWords(group: PlanGroup, { view }: Props): string {
  const { low, likely, high } = group.duration_s;
  return t("answer.step_hours", {
    system: view.systemById.get(group.system_id)?.tag ?? "",
    likely: formatDuration(likely),
    low: formatDuration(low),
    high: formatDuration(high),
  });
}

function isMarkable({ state }: PlanGroup): boolean {
  return state !== "gated" && state !== "done";
}

function lineStep(group: PlanGroup, context: Props): LineStep {
  return {
    id: group.id,
    name: wordsFor("step", group.code),
    state: isMarkable(group) ? (group.state === "failed" ? "fail" : "todo") : "gated",
    pipe: isMarkable(group) ? "open" : "empty",
    why: (
      <>
        {reasonWords(group, context)} {hoursWords(group, context)}
      </>
    ),
  };
}

/** The contractor's own part of the sequence, apart from the issues: holds, evacuation, charge. */
export function OwnSteps({ plan, view }: Props) {
  const [opened, setOpened] = useState<PlanGroup | null>(null);
  const groups = ownSteps(plan);
  if (groups.length === 0) return null;
  const context = { plan, view };
  return (
    <section>
      <h2 class="section-title">{t("answer.steps_title", { count: groups.length })}</h2>
      <p class="quiet-text answer-hint">{t("answer.steps_hint")}</p>
      <StepLine
        groups={[
          {
            title: t("answer.step_now"),
            steps: groups.filter(isMarkable).map((group) => lineStep(group, context)),
          },
          {
            title: t("answer.step_later"),
            steps: groups
              .filter((group) => !isMarkable(group))
              .map((group) => lineStep(group, context)),
          },
        ]}
        onOpen={(id) => setOpened(groups.find((group) => group.id === id) ?? null)}
      />
      {opened && <StepSheet group={opened} {...context} onClose={() => setOpened(null)} />}
    </section>
  );
}

function StepSheet({
  group,
  plan,
  view,
  onClose,
}: Props & { group: PlanGroup; onClose: () => void }) {
  const draftKey = `own-steps:${view.job.id}:${group.system_id}:${group.code}`;
  const { value: draft, change } = useDraft(draftKey, { empty: { note: "" } });
  const [isFailed, setFailed] = useState(false);
  const rows = view.steps.filter(
    (one) => one.system_id === group.system_id && one.code === group.code,
  );
  const what = `step_what.${group.code}`;
  const [press] = useState(onePress);
  const markAll = async () => {
    let saved: Result = { ok: true, id: group.code };
    for (const [place, row] of rows.entries()) {
      const isLast = place === rows.length - 1;
      const note = draft.note.trim() || null;
      const what = { jobId: view.job.id, stepId: row.id, state: "done", note } as const;
      saved = await markStep({ ...what, ...(isLast ? { draftKey } : {}) });
      if (!saved.ok) break;
    }
    return saved;
  };
  const mark = async () => {
    const done = await press(markAll);
    if (done?.ok) onClose();
    else if (done) setFailed(true);
  };
  return (
    <Sheet
      title={wordsFor("step", group.code)}
      under={hoursWords(group, { plan, view })}
      onClose={onClose}
      bottom={
        isMarkable(group) && (
          <Button kind="primary" onPress={() => void mark()}>
            {t("answer.step_mark")}
          </Button>
        )
      }
    >
      {hasText(what) && <p>{t(what)}</p>}
      <p>
        <b>{reasonWords(group, { plan, view })}</b>
      </p>
      {cautionsOf(group.code).map((caution) => (
        <Caution key={caution} place="alone">
          {caution}
        </Caution>
      ))}
      {isFailed && (
        <Notice kind="bad" urgency="now">
          <p>{t("answer_issue.not_saved")}</p>
        </Notice>
      )}
      {isMarkable(group) && (
        <TextArea
          label={t("answer.step_mark_note")}
          hint={t("answer.step_mark_hint")}
          value={draft.note}
          onInput={(note) => change({ note })}
        />
      )}
    </Sheet>
  );
}
