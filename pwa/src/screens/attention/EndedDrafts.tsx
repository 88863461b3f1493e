import { useState } from "preact/hooks";
import { dropDraft, keepEndedDraft } from "../../actions/drafts";
import { Button } from "../../components/Button";
import { Notice } from "../../components/Notice";
import { Thumb } from "../../components/Photo";
import { Sheet } from "../../components/Sheet";
import { StateShape } from "../../components/StateShape";
import { useBlobUrl } from "../../components/useBlobUrl";
import type { EndedDraft } from "../../queries/ended-drafts";
import { t } from "../../text";
import { useDoing } from "../parts/useDoing";
import { begunLines, begunTitle } from "./ended-draft-words";

/** Begun about what this person may no longer see: it is shown whole, kept, or given up. */
export function EndedDrafts({ drafts }: { drafts: EndedDraft[] }) {
  if (drafts.length === 0) return null;
  return (
    <ul>
      {drafts.map((draft) => (
        <One key={draft.key} draft={draft} />
      ))}
    </ul>
  );
}

function One({ draft }: { draft: EndedDraft }) {
  const { trouble, run } = useDoing();
  const [isDropping, setDropping] = useState(false);
  return (
    <li class="attention-item stack">
      <div class="attention-head">
        <StateShape state="unclear" says="shape" />
        <div>
          <h2>{begunTitle(draft)}</h2>
          <p class="quiet-text">{[draft.job_name, t("ended.begun")].filter(Boolean).join(" · ")}</p>
        </div>
      </div>
      <p>{t(draft.row ? "ended.why_row" : "ended.why")}</p>
      {begunLines(draft).map((line) => (
        <p key={line}>{line}</p>
      ))}
      <Photos photos={draft.photos} />
      <Trouble words={trouble} />
      <div class="actions">
        {!draft.kept_at && (
          <Button kind="quiet" onPress={() => void run(() => keepEndedDraft(draft.key))}>
            {t("attention.keep")}
          </Button>
        )}
        <Button kind="quiet" onPress={() => setDropping(true)}>
          {t("attention.drop")}
        </Button>
      </div>
      {isDropping && <AskDrop draft={draft} onClose={() => setDropping(false)} />}
    </li>
  );
}

function Trouble({ words }: { words: string | undefined }) {
  if (!words) return null;
  return (
    <Notice kind="bad" urgency="now">
      {words}
    </Notice>
  );
}

function Photos({ photos }: Pick<EndedDraft, "photos">) {
  if (photos.length === 0) return null;
  return (
    <div class="photo-strip">
      {photos.map((photo, index) => (
        <Picture key={photo.sha256} photo={photo} number={index + 1} />
      ))}
    </div>
  );
}

type PictureProps = { photo: EndedDraft["photos"][number]; number: number };

function Picture({ photo, number }: PictureProps) {
  return <Thumb url={useBlobUrl(photo.thumb)} alt={t("ended.photo", { number })} marked={photo} />;
}

/** Asked once, because nobody else has it. */
function AskDrop({ draft, onClose }: { draft: EndedDraft; onClose: () => void }) {
  const { trouble, run } = useDoing();
  return (
    <Sheet
      title={t("ended.drop_title")}
      onClose={onClose}
      bottom={
        <div class="actions">
          <Button onPress={onClose}>{t("common.cancel")}</Button>
          <Button kind="danger" onPress={() => void run(() => dropDraft(draft.key))}>
            {t("attention.drop")}
          </Button>
        </div>
      }
    >
      <p>{t(draft.row ? "ended.drop_words_row" : "ended.drop_words")}</p>
      <Trouble words={trouble} />
    </Sheet>
  );
}
