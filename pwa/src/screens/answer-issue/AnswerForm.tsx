import { Button } from "../../components/Button";
import { Choice } from "../../components/Choice";
import { FieldError } from "../../components/FieldError";
import { TextArea } from "../../components/TextField";
import { wallClock } from "../../format/zoned";
import type { IssueRow } from "../../local/rows";
import type { JobView } from "../../queries/job";
import { t } from "../../text";
import { Form } from "../parts/Form";
import { NewPhotoStrip, PhotoButtons } from "../parts/NewPhotos";
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
  const draft = useDraft(draftKey, { empty: EMPTY_ANSWER });
  const { date: today } = wallClock(now * 1000, { zone });
  const problem = problemOf(draft.value, { today });
  const { isChecked, submit, isBusy, ...state } = useSubmit({
    isWrong: problem !== null,
    save: () => saveAnswer(draft.value, { jobId: view.job.id, issueId: issue.id, draftKey }),
    onSaved: () => void draft.done().then(onSaved),
  });
  const errorAt = (field: string) =>
    isChecked && problem?.field === field ? t(`answer_issue.${problem.code}`) : undefined;
  const part = { draft, errorAt };
  return (
    <Form form={state.form} failure={state.failure} look="answer-form stack">
      <h2 class="section-title">{t("answer_issue.your_answer")}</h2>
      <Photos draft={draft} draftKey={draftKey} path={`/answer/issue/${issue.id}`} />
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
      <Save isBusy={isBusy} onPress={submit} />
    </Form>
  );
}

type PhotosProps = { draft: Draft<Answering>; draftKey: string; path: string };

function Photos({ draft, draftKey, path }: PhotosProps) {
  const { photos } = draft.value;
  return (
    <>
      <NewPhotoStrip
        photos={photos}
        onRemove={(photo) => draft.change({ photos: photos.filter((one) => one !== photo) })}
      />
      <PhotoButtons
        path={path}
        draftKey={draftKey}
        onPhoto={(photo) => draft.change((now) => ({ photos: [...now.photos, photo] }))}
      />
    </>
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

function Save({ isBusy, onPress }: { isBusy: boolean; onPress: () => void }) {
  return (
    <div class="answer-save">
      <Button
        kind="primary"
        type="submit"
        onPress={onPress}
        notYet={isBusy ? t("answer_issue.saving") : undefined}
      >
        {t("answer_issue.save")}
      </Button>
    </div>
  );
}
