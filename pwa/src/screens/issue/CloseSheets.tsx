import { acceptIssue } from "../../actions/acceptIssue";
import { proveIssue } from "../../actions/proveIssue";
import { sendBackIssue } from "../../actions/sendBackIssue";
import { TextArea, TextField } from "../../components/TextField";
import { session } from "../../local/session";
import type { PreparedPhoto } from "../../photo/prepare";
import { t } from "../../text";
import { NewPhotoStrip, PhotoButtons } from "../parts/NewPhotos";
import { useDraft } from "../parts/useDraft";
import { ActSheet } from "./ActSheet";
import type { OfIssue } from "./index";
import { useSaving } from "./useSaving";

type Props = OfIssue & { onClose: () => void };
type Words = { words: string; photo: PreparedPhoto | null };

function WordsAndPhoto({
  of,
  draftKey,
  draft,
  label,
}: {
  of: OfIssue;
  draftKey: string;
  draft: ReturnType<typeof useDraft<Words>>;
  label: string;
}) {
  const { value, change } = draft;
  return (
    <>
      <TextArea label={label} value={value.words} onInput={(words) => change({ words })} />
      <NewPhotoStrip
        photos={value.photo ? [value.photo] : []}
        onRemove={() => change({ photo: null })}
      />
      <PhotoButtons
        path={`/job/${of.view.job.id}/issue/${of.issue.id}`}
        draftKey={draftKey}
        onPhoto={(photo) => change({ photo })}
      />
    </>
  );
}

export function ProveSheet({ onClose, ...of }: Props) {
  const draftKey = `prove:${of.issue.id}`;
  const draft = useDraft<Words>(draftKey, { empty: { words: "", photo: null } });
  const { save, ...state } = useSaving({ onClose: () => void draft.done().then(onClose) });
  const { words, photo } = draft.value;
  const go = () =>
    proveIssue({
      jobId: of.view.job.id,
      issueId: of.issue.id,
      words: words.trim(),
      draftKey,
      ...(photo ? { photo } : {}),
    });
  return (
    <ActSheet
      title={t("prove.title")}
      save={t("prove.save")}
      notYet={undefined}
      {...state}
      onSave={() => void save(go)}
      onClose={onClose}
    >
      {of.issue.evidence && (
        <p>
          <b>{t("issue.proof")}</b> {of.issue.evidence}
        </p>
      )}
      <WordsAndPhoto of={of} draftKey={draftKey} draft={draft} label={t("prove.words")} />
    </ActSheet>
  );
}

export function SendBackSheet({ onClose, ...of }: Props) {
  const draftKey = `send_back:${of.issue.id}`;
  const draft = useDraft<Words>(draftKey, { empty: { words: "", photo: null } });
  const { save, ...state } = useSaving({ onClose: () => void draft.done().then(onClose) });
  const { words, photo } = draft.value;
  const go = () =>
    sendBackIssue({
      jobId: of.view.job.id,
      issueId: of.issue.id,
      words: words.trim(),
      draftKey,
      ...(photo ? { photo } : {}),
    });
  return (
    <ActSheet
      title={t("send_back.title")}
      save={t("send_back.save")}
      notYet={words.trim() === "" ? t("send_back.words_needed") : undefined}
      {...state}
      onSave={() => void save(go)}
      onClose={onClose}
    >
      <WordsAndPhoto of={of} draftKey={draftKey} draft={draft} label={t("send_back.words")} />
    </ActSheet>
  );
}

type Acceptance = { name: string; reason: string };

export function AcceptSheet({ onClose, view, issue }: Props) {
  const draftKey = `accept:${issue.id}`;
  const { value, change } = useDraft<Acceptance>(draftKey, {
    empty: { name: session.value?.name ?? "", reason: "" },
  });
  const { save, ...state } = useSaving({ onClose });
  const missing = value.name.trim() === "" || value.reason.trim() === "";
  const go = () =>
    acceptIssue({
      jobId: view.job.id,
      issueId: issue.id,
      name: value.name.trim(),
      reason: value.reason.trim(),
      draftKey,
    });
  return (
    <ActSheet
      title={t("accept.title")}
      save={t("accept.save")}
      notYet={missing ? t("accept.needed") : undefined}
      {...state}
      onSave={() => void save(go)}
      onClose={onClose}
    >
      <p>{t("accept.hint")}</p>
      <TextField label={t("accept.name")} value={value.name} onInput={(name) => change({ name })} />
      <TextArea
        label={t("accept.reason")}
        value={value.reason}
        onInput={(reason) => change({ reason })}
      />
    </ActSheet>
  );
}
