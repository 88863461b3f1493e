import { useEffect, useRef } from "preact/hooks";
import { Button, type ButtonKind } from "./Button";
import type { IconName } from "./Icon";

type Props = {
  label: string;
  accept: string;
  /** "camera" opens the camera straight away, "files" lets the person choose. */
  from: "camera" | "files";
  kind?: ButtonKind;
  /** Why it cannot be pressed now. */
  notYet?: string | undefined;
  icon?: IconName;
  /** Runs before the camera opens, because Android may end the app behind it; false keeps it shut. */
  onOpen?: () => Promise<boolean>;
  /** The person turned back without a file. */
  onCancel?: () => void;
  onFiles: (files: File[]) => void;
};

const NO_CANCEL = () => {};

/** A button that opens the phone's own camera or file picker. */
export function FilePick({ label, accept, from, kind, icon, onOpen, onFiles, ...more }: Props) {
  const input = useRef<HTMLInputElement>(null);
  const { onCancel = NO_CANCEL, notYet } = more;
  const camera = from === "camera" ? { capture: "environment" as const } : { multiple: true };
  useEffect(() => {
    const picker = input.current;
    const cancel = () => onCancel();
    picker?.addEventListener("cancel", cancel);
    return () => picker?.removeEventListener("cancel", cancel);
  }, [onCancel]);
  const open = async () => {
    if ((await onOpen?.()) !== false) input.current?.click();
  };
  return (
    <>
      <input
        ref={input}
        type="file"
        hidden={true}
        accept={accept}
        {...camera}
        onChange={(event) => {
          const files = [...(event.currentTarget.files ?? [])];
          event.currentTarget.value = "";
          if (files.length > 0) onFiles(files);
        }}
      />
      <Button
        {...(kind ? { kind } : {})}
        {...(icon ? { icon } : {})}
        notYet={notYet}
        onPress={() => void open()}
      >
        {label}
      </Button>
    </>
  );
}
