import { useState } from "preact/hooks";
import { acceptIssue } from "../../actions/acceptIssue";
import { proveIssue } from "../../actions/proveIssue";
import { sendBackIssue } from "../../actions/sendBackIssue";
import { TextArea, TextField } from "../../components/TextField";
import { session } from "../../local/session";
import type { PreparedPhoto } from "../../photo/prepare";
import { t } from "../../text";
import { troubleBesidePhotos, troubleWords } from "../parts/failure";
import { NewPhotos } from "../parts/NewPhotos";
import { useDraft } from "../parts/useDraft";
import { ActSheet } from "./ActSheet";
import type { OfIssue } from "./index";
import { useSaving } from "./useSaving";

type Props = OfIssue & { onClose: () => void };
type Words = { words: string; photos: PreparedPhoto[] };

/** Words and photos about one issue, kept as a draft until they are saved. */
function useWords({ issue }: OfIssue, { act }: { act: "prove" | "send_back" }) {
  const draftKey = `${act}:${issue.id}`;
  const [isWorking, setWorking] = useState(false);
  const draft = useDraft<Words>(draftKey, { empty: { words: "", photos: [] } });
  return { draft, draftKey, setWorking, working: isWorking ? t("photo.working") : undefined };
}

type Written = ReturnType<typeof useWords>;

function WordsAndPhotos({ of, label, ...to }: { of: OfIssue; label: string } & Written) {
  const { value, change, room } = to.draft;
  return (
    <>
      <TextArea label={label} value={value.words} onInput={(words) => change({ words })} />
      <NewPhotos
        photos={value.photos}
        onChange={change}
        path={`/job/${of.view.job.id}/issue/${of.issue.id}`}
        draftKey={to.draftKey}
        onWorking={to.setWorking}
        room={room}
      />
    </>
  );
}

function toSave({ view, issue }: OfIssue, { draft, draftKey }: Written) {
  const { words, photos } = draft.value;
  return { jobId: view.job.id, issueId: issue.id, words: words.trim(), photos, draftKey };
}

export function ProveSheet({ onClose, ...of }: Props) {
  const written = useWords(of, { act: "prove" });
  const { save, failure, busy } = useSaving({ onClose });
  return (
    <ActSheet
      title={t("prove.title")}
      save={t("prove.save")}
      notYet={written.working}
      busy={busy}
      trouble={troubleBesidePhotos(failure, written.draft)}
      onSave={() => void save(() => proveIssue(toSave(of, written)))}
      onClose={onClose}
    >
      {of.issue.evidence && (
        <p>
          <b>{t("issue.proof")}</b> {of.issue.evidence}
        </p>
      )}
      <WordsAndPhotos of={of} label={t("prove.words")} {...written} />
    </ActSheet>
  );
}

export function SendBackSheet({ onClose, ...of }: Props) {
  const written = useWords(of, { act: "send_back" });
  const { save, failure, busy } = useSaving({ onClose });
  const isSilent = written.draft.value.words.trim() === "";
  return (
    <ActSheet
      title={t("send_back.title")}
      save={t("send_back.save")}
      notYet={written.working ?? (isSilent ? t("send_back.words_needed") : undefined)}
      busy={busy}
      trouble={troubleBesidePhotos(failure, written.draft)}
      onSave={() => void save(() => sendBackIssue(toSave(of, written)))}
      onClose={onClose}
    >
      <WordsAndPhotos of={of} label={t("send_back.words")} {...written} />
    </ActSheet>
  );
}

type Acceptance = { name: string; reason: string };

export function AcceptSheet({ onClose, view, issue }: Props) {
  const draftKey = `accept:${issue.id}`;
  const { value, change, room } = useDraft<Acceptance>(draftKey, {
    empty: { name: session.value?.name ?? "", reason: "" },
  });
  const { save, failure, busy } = useSaving({ onClose });
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
      busy={busy}
      trouble={troubleWords(failure, { room })}
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
