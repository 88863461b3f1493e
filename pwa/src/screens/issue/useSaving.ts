import { useState } from "preact/hooks";
import type { Result } from "../../local/result";
import { failureWords } from "../parts/failure";

/** Saving from a sheet: it closes when it is saved, and stays with the words when it is not. */
export function useSaving({ onClose }: { onClose: () => void }) {
  const [trouble, setTrouble] = useState<string>();
  const [busy, setBusy] = useState(false);
  const save = async (action: () => Promise<Result>) => {
    setBusy(true);
    const result = await action();
    setBusy(false);
    if (result.ok) onClose();
    else setTrouble(failureWords(result));
  };
  return { trouble, busy, save };
}
