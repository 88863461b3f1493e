import { t } from "../text";
import { Button } from "./Button";
import { Notice } from "./Notice";

/** A new version waits. Nothing is lost by taking it, and nothing is lost by waiting. */
export function UpdateNotice({ onTake, onLater }: { onTake: () => void; onLater: () => void }) {
  return (
    <Notice>
      <p>
        <b>{t("update.title")}</b> {t("update.words")}
      </p>
      <div class="actions">
        <Button onPress={onLater} kind="quiet">
          {t("update.later")}
        </Button>
        <Button onPress={onTake}>{t("update.take")}</Button>
      </div>
    </Notice>
  );
}
