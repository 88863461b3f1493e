import { useState } from "preact/hooks";
import type { Failure, Result } from "../../local/result";

/** Saving from a sheet: it closes when it is saved, and stays with the words when it is not. */
export function useSaving({ onClose }: { onClose: () => void }) {
  const [failure, setFailure] = useState<Failure>();
  const [busy, setBusy] = useState(false);
  const save = async (action: () => Promise<Result>) => {
    setBusy(true);
    const result = await action();
    setBusy(false);
    if (result.ok) onClose();
    else setFailure(result);
  };
  return { failure, busy, save };
}
