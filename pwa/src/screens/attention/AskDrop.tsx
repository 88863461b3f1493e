import { dismissAttention } from "../../actions/resendMutation";
import { Button } from "../../components/Button";
import { Notice } from "../../components/Notice";
import { Sheet } from "../../components/Sheet";
import { t } from "../../text";
import { useDoing } from "../parts/useDoing";

type Props = { id: string; words: string; onClose: () => void };

/** Asked once, because the person will not see it again. */
export function AskDrop({ id, words, onClose }: Props) {
  const { trouble, run } = useDoing();
  const drop = async () => {
    if (await run(() => dismissAttention(id))) onClose();
  };
  return (
    <Sheet
      title={t("attention.drop_title")}
      onClose={onClose}
      bottom={
        <div class="actions">
          <Button onPress={onClose}>{t("common.cancel")}</Button>
          <Button kind="danger" onPress={() => void drop()}>
            {t("attention.drop")}
          </Button>
        </div>
      }
    >
      <p>{words}</p>
      {trouble && (
        <Notice kind="bad" urgency="now">
          {trouble}
        </Notice>
      )}
    </Sheet>
  );
}
