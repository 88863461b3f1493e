import { dismissAttention } from "../../actions/resendMutation";
import { Button } from "../../components/Button";
import { Sheet } from "../../components/Sheet";
import { t } from "../../text";

type Props = { id: string; words: string; onClose: () => void };

/** Asked once, because the person will not see it again. */
export function AskDrop({ id, words, onClose }: Props) {
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
      <p>{words}</p>
    </Sheet>
  );
}
