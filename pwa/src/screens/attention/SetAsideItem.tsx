import { useState } from "preact/hooks";
import { mendKey } from "../../actions/drafts";
import { keepAttention, resendMutation } from "../../actions/resendMutation";
import { canGoAgain, resendPhoto } from "../../actions/resendPhoto";
import { Button } from "../../components/Button";
import { Notice } from "../../components/Notice";
import { Thumb } from "../../components/Photo";
import { StateShape } from "../../components/StateShape";
import { formatDayTime } from "../../format";
import { hereZone } from "../../format/here";
import type { AttentionItem } from "../../queries/attention";
import { useHasFullPhoto } from "../../queries/attention";
import { useJob } from "../../queries/job";
import { usePhotoUrl } from "../../queries/photos";
import { hasText, t } from "../../text";
import { useDoing } from "../parts/useDoing";
import { useDraft } from "../parts/useDraft";
import { AskDrop } from "./AskDrop";
import { aboutWords } from "./about";
import {
  isPhotoOf,
  mendableFields,
  otherProblems,
  outcomeKey,
  whatKey,
  whyKey,
} from "./attention-words";
import { MendFields } from "./MendFields";

type Props = { item: AttentionItem; jobName: string | undefined };

/** One change that was refused or set aside: what, why, what was written, and what can be done. */
export function SetAsideItem({ item, jobName }: Props) {
  const draftKey = mendKey(item.id);
  const { value: mended, change } = useDraft<Record<string, unknown>>(draftKey, { empty: {} });
  const fields = { ...item.fields, ...mended };
  const { trouble, run } = useDoing();
  const [isDropping, setDropping] = useState(false);
  const hasPicture = useHasFullPhoto(item.entity).value === true;
  const isPhoto = isPhotoOf(item);
  const isElsewhere = item.type === "photo.add" && !hasPicture;
  const canSend = item.type !== "photo" && !isElsewhere;
  const mendable = canSend ? mendableFields(item.fields) : [];
  return (
    <li class="attention-item stack">
      <Head item={item} jobName={jobName} />
      <p>{t(whyKey(item.code, { hasText }), { message: item.message })}</p>
      {otherProblems(item).map(([field, message]) => (
        <p key={field}>{t("attention.problem", { field: fieldName(field), message })}</p>
      ))}
      {isPhoto && hasPicture && <Picture id={item.entity} />}
      {isElsewhere && <p>{t("attention.photo_elsewhere")}</p>}
      {item.outcome === "photo_refused" && <p>{t("attention.photo_again")}</p>}
      <MendFields item={item} fields={fields} mendable={mendable} onChange={change} />
      {trouble && (
        <Notice kind="bad" urgency="now">
          {trouble}
        </Notice>
      )}
      <div class="actions">
        {canSend && (
          <Button onPress={() => void run(() => resendMutation(item.id, fields))}>
            {t(mendable.length > 0 ? "attention.edit_send" : "attention.send_again")}
          </Button>
        )}
        {hasPicture && canGoAgain(item.outcome) && (
          <Button onPress={() => void run(() => resendPhoto(item.entity))}>
            {t("attention.send_again")}
          </Button>
        )}
        {!item.kept_at && (
          <Button kind="quiet" onPress={() => void run(() => keepAttention(item.id))}>
            {t("attention.keep")}
          </Button>
        )}
        <Button kind="quiet" onPress={() => setDropping(true)}>
          {t("attention.drop")}
        </Button>
      </div>
      {isDropping && (
        <AskDrop
          id={item.id}
          words={t(isPhoto && hasPicture ? "attention.drop_photo" : "attention.drop_words")}
          onClose={() => setDropping(false)}
        />
      )}
    </li>
  );
}

function fieldName(field: string): string {
  const key = `attention.field.${field}`;
  return hasText(key) ? t(key) : field.replaceAll("_", " ");
}

function Picture({ id }: { id: string }) {
  const url = usePhotoUrl(id, "thumb").value;
  const marked = { width_px: 4, height_px: 3, marks: [] };
  return <Thumb url={url} alt={t("attention.what.photo_add")} marked={marked} />;
}

function Head({ item, jobName }: Props) {
  const view = useJob(item.job_id).value;
  const when = formatDayTime(item.device_time, { zone: view?.job.time_zone ?? hereZone() });
  const about = view ? aboutWords(item, { view }) : "";
  return (
    <div class="attention-head">
      <StateShape state={item.outcome === "refused" ? "fail" : "unclear"} says="shape" />
      <div>
        <h2>
          {t(whatKey(item.type, { hasText }))}: {t(outcomeKey(item.outcome))}
        </h2>
        {about && <p>{about}</p>}
        <p class="quiet-text">
          {[jobName ?? item.job_name, t("attention.saved_at", { when })]
            .filter(Boolean)
            .join(" · ")}
        </p>
      </div>
    </div>
  );
}
