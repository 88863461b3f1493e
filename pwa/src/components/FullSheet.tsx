import type { ComponentChildren } from "preact";
import { useModal } from "./useModal";
import "./full-sheet.css";

type Props = {
  name: string;
  /** Escape, and the back gesture of a phone. */
  onClose: () => void;
  children: ComponentChildren;
};

/** The whole window for one picture, dark around it in every mode: the browser's own dialog. */
export function FullSheet({ name, onClose, children }: Props) {
  const dialog = useModal();
  return (
    <dialog
      ref={dialog}
      class="full-sheet"
      aria-label={name}
      onCancel={(event) => {
        event.preventDefault();
        onClose();
      }}
    >
      {children}
    </dialog>
  );
}
