import type { ComponentChildren } from "preact";
import { useEffect, useId, useRef } from "preact/hooks";
import { t } from "../text";
import { IconButton } from "./Button";
import { useModal } from "./useModal";

type Props = {
  title: string;
  under?: ComponentChildren;
  onClose: () => void;
  bottom?: ComponentChildren;
  children: ComponentChildren;
};

/** A sheet from below: the browser's own dialog, so focus and Escape behave. */
export function Sheet({ title, under, onClose, bottom, children }: Props) {
  const dialog = useModal();
  const name = useId();
  const close = useRef(onClose);
  close.current = onClose;
  useEffect(() => {
    const shown = dialog.current;
    if (!shown) return;
    // Pressing beside the sheet closes it; Escape and the button do the same.
    const besides = (event: MouseEvent) => {
      if (event.target === shown) close.current();
    };
    shown.addEventListener("click", besides);
    return () => shown.removeEventListener("click", besides);
  }, []);
  return (
    <dialog
      ref={dialog}
      class="sheet"
      aria-labelledby={name}
      onCancel={(event) => {
        event.preventDefault();
        onClose();
      }}
    >
      <div class="sheet-head">
        <div>
          <h2 id={name}>{title}</h2>
          {under && <p class="quiet-text">{under}</p>}
        </div>
        <IconButton icon="close" label={t("common.close")} onPress={onClose} />
      </div>
      <div class="sheet-body">{children}</div>
      {bottom && <div class="sheet-bottom">{bottom}</div>}
    </dialog>
  );
}
