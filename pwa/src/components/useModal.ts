import { useEffect, useRef } from "preact/hooks";

/**
 * The browser's own dialog, open for as long as it is there. A browser lets a page refuse to close it once and then
 * closes it all the same: what could not be left yet comes back.
 */
export function useModal() {
  const dialog = useRef<HTMLDialogElement>(null);
  useEffect(() => {
    const shown = dialog.current;
    if (!shown) return;
    const open = () => shown.showModal();
    open();
    shown.addEventListener("close", open);
    return () => {
      shown.removeEventListener("close", open);
      shown.close();
    };
  }, []);
  return dialog;
}
