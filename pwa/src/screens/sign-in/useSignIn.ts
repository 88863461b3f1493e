import { useRef, useState } from "preact/hooks";
import { signIn } from "../../actions/signIn";
import { focusFirstInvalid } from "../../components/focus-invalid";
import { session } from "../../local/session";
import type { TextKey } from "../../text";
import { problemsOf, type SignInFields, type SignInProblems, wordsFor } from "./sign-in-form";

/** The password lives here only: it is never kept on the device, not even as a draft. */
export function useSignIn({ onDone }: { onDone: () => void }) {
  const email = session.value?.email ?? "";
  const [fields, setFields] = useState<SignInFields>({ email, password: "" });
  const [problems, setProblems] = useState<SignInProblems>({});
  const [failure, setFailure] = useState<TextKey | null>(null);
  const [isBusy, setBusy] = useState(false);
  const form = useRef<HTMLFormElement>(null);
  const submit = async () => {
    const found = problemsOf(fields);
    setProblems(found);
    setFailure(null);
    if (found.email ?? found.password) return focusFirstInvalid(form.current);
    setBusy(true);
    const answer = await signIn({ ...fields, email: fields.email.trim() });
    setBusy(false);
    if (answer.ok) onDone();
    else setFailure(wordsFor(answer));
  };
  const change = (parts: Partial<SignInFields>) => setFields({ ...fields, ...parts });
  return { form, fields, problems, failure, isBusy, change, submit: () => void submit() };
}
