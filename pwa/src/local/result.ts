/** Failures of what a person does are values; anything else is thrown and reaches the one error boundary. */

export type FailureCode =
  /** The phone is full: nothing was written, the draft is still there. */
  | "disk_full"
  /** A field is missing or impossible; `fields` names it. */
  | "invalid"
  /** Nobody is signed in on this phone. */
  | "not_signed_in"
  /** The row to act on is not on this phone. */
  | "not_found"
  /** Only for what needs the network at once: signing in, links, checking a sheet. */
  | "offline"
  /** The server said no; `message` says why. */
  | "refused"
  /** Something was thrown, and nothing written; what it was is in the browser's log. */
  | "broken_off";

/** Per field: a short code (`missing`, `too_long`, `not_a_choice`) or the server's sentence. */
export type Fields = Record<string, string>;
export type Failure = {
  ok: false;
  code: FailureCode;
  /** The server's own code, where it said no. */
  reason?: string;
  message?: string;
  fields?: Fields;
};
export type Result = { ok: true; id: string } | Failure;
/** Whoever pressed is told, whatever it was that broke. */
export function brokenOff(problem: unknown): Failure {
  reportError(problem);
  return { ok: false, code: "broken_off" };
}

/** The answer of something that needs the network. */
export type Answer<T> = { ok: true; value: T } | Failure;
