import { useRef, useState } from "preact/hooks";
import { focusFirstInvalid } from "../../components/focus-invalid";
import type { Failure, Result } from "../../local/result";
import { failureWords } from "./failure";
import { onePress } from "./one-press";

type Submitting = {
  /** True while a field of the form needs mending: nothing is saved then. */
  isWrong: boolean;
  save: () => Promise<Result>;
  onSaved: (id: string) => void;
};

/**
 * One press, one save. Problems are shown only once somebody has pressed; the
 * first of them gets the focus. What was saved is not saved again by a second
 * press while the next screen is on its way.
 */
export function useSubmit({ isWrong, save, onSaved }: Submitting) {
  const [isChecked, setChecked] = useState(false);
  const [failed, setFailed] = useState<Failure>();
  const [isBusy, setBusy] = useState(false);
  const [press] = useState(onePress);
  const form = useRef<HTMLFormElement>(null);
  const submit = async () => {
    setChecked(true);
    setFailed(undefined);
    if (isWrong) return focusFirstInvalid(form.current);
    setBusy(true);
    const saved = await press(save);
    if (!saved) return;
    if (saved.ok) return onSaved(saved.id);
    setBusy(false);
    setFailed(saved);
  };
  const failure = failed ? failureWords(failed) : null;
  return { form, isChecked, failed, failure, isBusy, submit: () => void submit() };
}
