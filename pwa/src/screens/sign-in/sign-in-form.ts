import type { Failure } from "../../local/result";
import type { TextKey } from "../../text";

export type SignInFields = { email: string; password: string };
export type SignInProblems = Partial<Record<keyof SignInFields, TextKey>>;

/** What can be seen wrong before the server is asked. */
export function problemsOf({ email, password }: SignInFields): SignInProblems {
  const problems: SignInProblems = {};
  if (email.trim() === "") problems.email = "sign_in.email_missing";
  else if (!email.includes("@")) problems.email = "sign_in.email_shape";
  if (password === "") problems.password = "sign_in.password_missing";
  return problems;
}

const WORDS: Partial<Record<string, TextKey>> = {
  offline: "sign_in.no_network",
  disk_full: "sign_in.disk_full",
  wrong_email_or_password: "sign_in.wrong",
  too_many_tries: "sign_in.too_many",
};

/** The server never says which of the two was wrong, and neither does this. */
export function wordsFor(failure: Failure): TextKey {
  return WORDS[failure.reason ?? failure.code] ?? "sign_in.failed";
}
