import { useState } from "preact/hooks";
import { answerIssue } from "../../actions/answerIssue";
import { Choice } from "../../components/Choice";
import { TextArea, TextField } from "../../components/TextField";
import type { PreparedPhoto } from "../../photo/prepare";
import { t } from "../../text";
import { troubleBesidePhotos } from "../parts/failure";
import { NewPhotos } from "../parts/NewPhotos";
import { useDraft } from "../parts/useDraft";
import { ActSheet } from "./ActSheet";
import type { OfIssue } from "./index";
import { useSaving } from "./useSaving";

type Answer = {
  fixed: "yes" | "no" | null;
  words: string;
  promisedOn: string;
  photos: PreparedPhoto[];
};

function missing(value: Answer, { isWorking }: { isWorking: boolean }): string | undefined {
  if (isWorking) return t("photo.working");
  if (value.fixed === null) return t("answer_here.fixed_needed");
  if (value.words.trim() === "") return t("answer_here.words_needed");
  if (value.fixed === "no" && value.promisedOn === "") return t("answer_here.day_needed");
  return undefined;
}

/** The technician's own answer: fixed on the spot, or promised for a day. */
export function AnswerSheet({ view, issue, onClose }: OfIssue & { onClose: () => void }) {
  const draftKey = `answer_here:${issue.id}`;
  const [isWorking, setWorking] = useState(false);
  const { value, change, room } = useDraft<Answer>(draftKey, {
    empty: { fixed: null, words: "", promisedOn: "", photos: [] },
  });
  const { save, failure, busy } = useSaving({ onClose });
  const go = () =>
    answerIssue({
      jobId: view.job.id,
      issueId: issue.id,
      words: value.words.trim(),
      fixed: value.fixed === "yes",
      promisedOn: value.fixed === "no" ? value.promisedOn : null,
      draftKey,
      photos: value.photos,
    });
  return (
    <ActSheet
      title={t("answer_here.title")}
      save={t("answer_here.save")}
      notYet={missing(value, { isWorking })}
      busy={busy}
      trouble={troubleBesidePhotos(failure, { room })}
      onSave={() => void save(go)}
      onClose={onClose}
    >
      <Choice
        label={t("answer_here.fixed")}
        value={value.fixed}
        onPick={(fixed) => change({ fixed })}
        options={[
          { value: "yes", label: t("answer_here.yes") },
          { value: "no", label: t("answer_here.no") },
        ]}
      />
      {value.fixed === "no" && (
        <TextField
          type="date"
          label={t("answer_here.day")}
          value={value.promisedOn}
          onInput={(promisedOn) => change({ promisedOn })}
        />
      )}
      <TextArea
        label={t("answer_here.words")}
        value={value.words}
        onInput={(words) => change({ words })}
      />
      <NewPhotos
        photos={value.photos}
        onChange={change}
        path={`/job/${view.job.id}/issue/${issue.id}`}
        draftKey={draftKey}
        onWorking={setWorking}
        room={room}
      />
    </ActSheet>
  );
}
