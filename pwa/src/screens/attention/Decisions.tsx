import { keepAttention, resendMutation } from "../../actions/resendMutation";
import { canGoAgain, resendPhoto } from "../../actions/resendPhoto";
import { Button } from "../../components/Button";
import type { Result } from "../../local/result";
import type { AttentionItem } from "../../queries/attention";
import { t } from "../../text";
import type { useDoing } from "../parts/useDoing";

type Props = {
  item: AttentionItem;
  fields: Record<string, unknown>;
  hasPicture: boolean;
  isSendable: boolean;
  isMendable: boolean;
  doing: ReturnType<typeof useDoing>;
  /** What was put off stays on the screen, and can be sent or given up all the same. */
  keeping: ReturnType<typeof useDoing>;
  onDrop: () => void;
};

/** Without the row there is nothing to write to: said in words, and what was written stays. */
async function resend({ item, fields }: Pick<Props, "item" | "fields">): Promise<Result> {
  const done = await resendMutation(item.id, fields);
  const isGone = !done.ok && done.code === "not_found";
  return isGone ? { ...done, message: t("attention.row_gone") } : done;
}

/** What its author can do with it: send it again, put it off, give it up. */
export function Decisions(props: Props) {
  const { item, hasPicture, isSendable, isMendable, keeping, onDrop } = props;
  const { run } = props.doing;
  return (
    <div class="actions">
      {isSendable && (
        <Button onPress={() => void run(() => resend(props))}>
          {t(isMendable ? "attention.edit_send" : "attention.send_again")}
        </Button>
      )}
      {hasPicture && canGoAgain(item.outcome) && (
        <Button onPress={() => void run(() => resendPhoto(item.entity))}>
          {t("attention.send_again")}
        </Button>
      )}
      {!item.kept_at && (
        <Button kind="quiet" onPress={() => void keeping.run(() => keepAttention(item.id))}>
          {t("attention.keep")}
        </Button>
      )}
      <Button kind="quiet" onPress={onDrop}>
        {t("attention.drop")}
      </Button>
    </div>
  );
}
