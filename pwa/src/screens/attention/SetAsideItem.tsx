import { useState } from "preact/hooks";
import { dismissAttention, resendMutation } from "../../actions/resendMutation";
import { Button } from "../../components/Button";
import { Notice } from "../../components/Notice";
import { Sheet } from "../../components/Sheet";
import { StateShape } from "../../components/StateShape";
import { TextArea, TextField } from "../../components/TextField";
import { formatDayTime } from "../../format";
import { hereZone } from "../../format/here";
import type { AttentionItem } from "../../queries/attention";
import { hasText, t } from "../../text";
import { isDateField, mendableFields, whatKey, whyKey } from "./attention-words";

type Props = { item: AttentionItem; jobName: string | undefined };

/** One change that was refused or set aside: what, why, what was written, and what can be done. */
export function SetAsideItem({ item, jobName }: Props) {
  const [fields, setFields] = useState(item.fields);
  const [isFailed, setFailed] = useState(false);
  const [isDropping, setDropping] = useState(false);
  const isPhoto = item.outcome === "photo_refused";
  const mendable = isPhoto ? [] : mendableFields(item.fields);
  const send = async () => {
    const sent = await resendMutation(item.id, fields);
    setFailed(!sent.ok);
  };
  return (
    <li class="attention-item stack">
      <Head item={item} jobName={jobName} />
      <p>{t(whyKey(item.code, { hasText }), { message: item.message })}</p>
      {isPhoto && <p>{t("attention.photo_again")}</p>}
      {mendable.map((field) => {
        const props = {
          label: t(`attention.field.${field}`),
          value: String(fields[field] ?? ""),
          error: item.problem_fields[field],
          onInput: (value: string) => setFields({ ...fields, [field]: value }),
        };
        return isDateField(field) ? (
          <TextField key={field} type="date" {...props} />
        ) : (
          <TextArea key={field} {...props} />
        );
      })}
      {isFailed && (
        <Notice kind="bad" urgency="now">
          <p>{t("common.not_saved")}</p>
        </Notice>
      )}
      <div class="actions">
        {!isPhoto && (
          <Button onPress={() => void send()}>
            {t(mendable.length > 0 ? "attention.edit_send" : "attention.send_again")}
          </Button>
        )}
        <Button kind="quiet" onPress={() => setDropping(true)}>
          {t("attention.drop")}
        </Button>
      </div>
      {isDropping && <AskDrop id={item.id} onClose={() => setDropping(false)} />}
    </li>
  );
}

function Head({ item, jobName }: Props) {
  const outcome = item.outcome === "set_aside" ? "attention.set_aside" : "attention.refused";
  const when = formatDayTime(item.device_time, { zone: hereZone() });
  return (
    <div class="attention-head">
      <StateShape state={item.outcome === "set_aside" ? "unclear" : "fail"} says="shape" />
      <div>
        <h2>
          {t(whatKey(item.type, { hasText }))}: {t(outcome)}
        </h2>
        <p class="quiet-text">
          {[jobName, t("attention.saved_at", { when })].filter(Boolean).join(" · ")}
        </p>
      </div>
    </div>
  );
}

function AskDrop({ id, onClose }: { id: string; onClose: () => void }) {
  return (
    <Sheet
      title={t("attention.drop_title")}
      onClose={onClose}
      bottom={
        <div class="actions">
          <Button onPress={onClose}>{t("common.cancel")}</Button>
          <Button kind="danger" onPress={() => void dismissAttention(id).then(onClose)}>
            {t("attention.drop")}
          </Button>
        </div>
      }
    >
      <p>{t("attention.drop_words")}</p>
    </Sheet>
  );
}
