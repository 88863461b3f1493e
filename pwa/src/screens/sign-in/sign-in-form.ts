import type { Failure } from "../../local/result";
import type { Session } from "../../local/session";
import type { SyncState } from "../../queries/sync";
import { type TextKey, t } from "../../text";

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

type Waits = Pick<SyncState, "waiting" | "photos_waiting">;

/** Whoever comes back is told what waits for them; on a new phone, what signing in is for. */
export function leadWords(who: Session | null, { waiting, photos_waiting }: Waits): string {
  if (!isComingBack(who)) return t("sign_in.lead");
  const count = waiting + photos_waiting;
  return t(count > 0 ? "sign_in.waits" : "sign_in.again", { count, name: who.name });
}

/** Signed out by the server, not by themselves: what they have here is still open to them. */
export function isComingBack(who: Session | null): who is Session {
  return who?.as === "device";
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
