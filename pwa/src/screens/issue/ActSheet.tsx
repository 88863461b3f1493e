import type { ComponentChildren } from "preact";
import { Button } from "../../components/Button";
import { Notice } from "../../components/Notice";
import { Sheet } from "../../components/Sheet";
import { t } from "../../text";

type Props = {
  title: string;
  save: string;
  notYet: string | undefined;
  busy: boolean;
  trouble: string | undefined;
  onSave: () => void;
  onClose: () => void;
  children: ComponentChildren;
};

/** The frame of every sheet that does something to an issue. */
export function ActSheet({ title, save, notYet, busy, trouble, onSave, onClose, children }: Props) {
  return (
    <Sheet
      title={title}
      onClose={onClose}
      bottom={
        <Button kind="primary" notYet={busy ? t("log.saving") : notYet} onPress={onSave}>
          {save}
        </Button>
      }
    >
      {trouble && (
        <Notice kind="bad" urgency="now">
          {trouble}
        </Notice>
      )}
      {children}
    </Sheet>
  );
}
