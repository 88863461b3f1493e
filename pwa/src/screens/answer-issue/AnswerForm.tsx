import { useState } from "preact/hooks";
import { Button } from "../../components/Button";
import { Choice } from "../../components/Choice";
import { FieldError } from "../../components/FieldError";
import { TextArea } from "../../components/TextField";
import { wallClock } from "../../format/zoned";
import type { IssueRow } from "../../local/rows";
import type { JobView } from "../../queries/job";
import { t } from "../../text";
import { Form } from "../parts/Form";
import { troubleBesidePhotos } from "../parts/failure";
import { NewPhotos } from "../parts/NewPhotos";
import { type Draft, useDraft } from "../parts/useDraft";
import { useSubmit } from "../parts/useSubmit";
import { PromiseField } from "./PromiseField";
import { type Answering, EMPTY_ANSWER, problemOf } from "./promise";
import { saveAnswer } from "./save-answer";

type Props = { view: JobView; issue: IssueRow; now: number; onSaved: () => void };
type Part = { draft: Draft<Answering>; errorAt: (field: string) => string | undefined };

/** Words, photos, fixed or a promised date. What was typed stays until it is saved. */
export function AnswerForm({ view, issue, now, onSaved }: Props) {
  const zone = view.job.time_zone;
  const draftKey = `answer:${issue.id}`;
  const [isWorking, setWorking] = useState(false);
  const draft = useDraft(draftKey, { empty: EMPTY_ANSWER });
  const { date: today } = wallClock(now * 1000, { zone });
  const problem = problemOf(draft.value, { today });
  const { isChecked, submit, isBusy, ...state } = useSubmit({
    isWrong: problem !== null,
    save: () => saveAnswer(draft.value, { jobId: view.job.id, issueId: issue.id, draftKey }),
    onSaved,
  });
  const errorAt = (field: string) =>
    isChecked && problem?.field === field ? t(`answer_issue.${problem.code}`) : undefined;
  const part = { draft, errorAt };
  const trouble = troubleBesidePhotos(state.failed, draft);
  return (
    <Form form={state.form} failure={trouble ?? null} look="answer-form stack">
      <h2 class="section-title">{t("answer_issue.your_answer")}</h2>
      <NewPhotos
        photos={draft.value.photos}
        onChange={draft.change}
        path={`/answer/issue/${issue.id}`}
        draftKey={draftKey}
        onWorking={setWorking}
        room={draft.room}
      />
      <Fixed {...part} />
      {draft.value.fixed === false && (
        <PromiseField
          value={draft.value.promisedOn}
          now={now}
          zone={zone}
          error={errorAt("promised_on")}
          onPick={(promisedOn) => draft.change({ promisedOn })}
        />
      )}
      <Words {...part} />
      <Save waitsFor={waitsFor({ isBusy, isWorking })} onPress={submit} />
    </Form>
  );
}

function Fixed({ draft, errorAt }: Part) {
  const { fixed } = draft.value;
  return (
    <>
      <Choice
        label={t("answer_issue.fixed")}
        options={[
          { value: "yes", label: t("answer_issue.fixed_yes") },
          { value: "no", label: t("answer_issue.fixed_no") },
        ]}
        value={fixed === null ? null : fixed ? "yes" : "no"}
        onPick={(value) => draft.change({ fixed: value === "yes" })}
      />
      <FieldError id="answer-fixed-error">{errorAt("fixed")}</FieldError>
    </>
  );
}

function Words({ draft, errorAt }: Part) {
  const { words, fixed } = draft.value;
  return (
    <TextArea
      label={t("answer_issue.words")}
      hint={t(fixed === false ? "answer_issue.words_open_hint" : "answer_issue.words_fixed_hint")}
      name="words"
      value={words}
      error={errorAt("words")}
      onInput={(typed) => draft.change({ words: typed })}
    />
  );
}

/** An answer is not saved without a photo that is still being made ready for it. */
function waitsFor({ isBusy, isWorking }: { isBusy: boolean; isWorking: boolean }) {
  if (isWorking) return t("photo.working");
  return isBusy ? t("answer_issue.saving") : undefined;
}

function Save({ waitsFor, onPress }: { waitsFor: string | undefined; onPress: () => void }) {
  return (
    <div class="answer-save">
      <Button kind="primary" type="submit" onPress={onPress} notYet={waitsFor}>
        {t("answer_issue.save")}
      </Button>
    </div>
  );
}
