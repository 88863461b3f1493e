/**
 * The only place that talks to the server. Every request has an end: a request without an answer
 * is given up after a while, and whoever asked decides what then.
 */

import { bytesIn, bytesInForm } from "../local/bytes";
import { noteDate } from "./server_clock";

/** Long enough for a page of rows on a poor line (P); the watchdog allows 30 s of silence. */
export const REQUEST_TIMEOUT_MS = 25_000;
/** How many bytes a poor line takes up in a second: what is large is waited for longer. (P) */
const POOR_LINE_BYTES_PER_S = 4_000;
export const sendingMs = (bytes: number) => Math.ceil((bytes / POOR_LINE_BYTES_PER_S) * 1_000);

export type As = "device" | "link";
/** How a principal reaches the server; tests put their own server in place of `fetch`. */
export type Wire = {
  as: As;
  fetch: typeof fetch;
  /** Cuts off whatever is under way. */
  signal?: AbortSignal;
  /** Told whenever the server was heard. */
  alive?: () => void;
  /** Told the server's code when it does not know, or no longer knows, who asks. */
  turnedAway?: (code: string) => void;
};

export type Refusal = { code: string; message: string; fields: Record<string, string> };
export type Reply =
  | { kind: "ok"; body: unknown }
  /** No answer, or one that says "later". `isSilent`: it, or the rest of it, was waited for in vain. */
  | { kind: "later"; status: number | null; isSilent?: boolean }
  | { kind: "signed_out" }
  /** `isOurs`: in the one shape of our server's errors, and not of a proxy between. */
  | { kind: "too_large"; isOurs: boolean }
  /** A final no, with the server's reason. */
  | { kind: "no"; status: number; refusal: Refusal; isOurs: boolean };

export type Request = {
  method: "GET" | "POST";
  path: string;
  json?: unknown;
  form?: FormData;
};

const LATER = new Set([408, 423, 425, 429]);

/** Where an answer was waited for in vain, and nothing was heard since. */
export const silent = new Set<As>();

export async function ask(wire: Wire, request: Request): Promise<Reply> {
  const words = request.json === undefined ? null : JSON.stringify(request.json);
  const bytes = request.form ? bytesInForm(request.form) : bytesIn(words ?? "");
  const end = AbortSignal.timeout(REQUEST_TIMEOUT_MS + sendingMs(bytes));
  const response = await reach(wire, { ...request, words, end });
  if (!response) {
    noteSilence(wire, { isSilent: end.aborted });
    return { kind: "later", status: null, isSilent: end.aborted };
  }
  wire.alive?.();
  silent.delete(wire.as);
  const { status } = response;
  // Also where it says nothing more than the status: a browser holds the line of an answer that nobody reads.
  const body = await readJson(response);
  if (status === 401) {
    wire.turnedAway?.(refusalIn(body).code);
    return { kind: "signed_out" };
  }
  if (status === 413) {
    return { kind: "too_large", isOurs: isOurs(body) };
  }
  if (status >= 500 || LATER.has(status)) {
    return { kind: "later", status };
  }
  if (body === undefined) {
    // A hotel's sign-in page, or a cut in the middle of an answer: not our server speaking.
    noteSilence(wire, { isSilent: end.aborted });
    return { kind: "later", status, isSilent: end.aborted };
  }
  noteDate(response);
  return status < 300
    ? { kind: "ok", body }
    : { kind: "no", status, refusal: refusalIn(body), isOurs: isOurs(body) };
}

function noteSilence({ as }: Wire, { isSilent }: { isSilent: boolean }): void {
  if (isSilent) {
    silent.add(as);
  }
}

async function reach(
  wire: Wire,
  { method, path, words, form, end }: Request & { words: string | null; end: AbortSignal },
): Promise<Response | null> {
  const headers: Record<string, string> = { "X-Flarenut-As": wire.as, Accept: "application/json" };
  if (words !== null) {
    headers["Content-Type"] = "application/json";
  }
  const body = words ?? form ?? null;
  const signals = [end, ...(wire.signal ? [wire.signal] : [])];
  try {
    return await wire.fetch(path, {
      method,
      headers,
      body,
      credentials: "same-origin",
      cache: "no-store",
      signal: AbortSignal.any(signals),
    });
  } catch {
    // No network, a timeout, or an abort: all the same to the caller, who tries again.
    return null;
  }
}

async function readJson(response: Response): Promise<unknown> {
  if (response.status === 204) {
    return null;
  }
  try {
    return await response.json();
  } catch {
    return undefined;
  }
}

const errorIn = (body: unknown): unknown =>
  body instanceof Object ? Reflect.get(body, "error") : undefined;

function isOurs(body: unknown): boolean {
  const error = errorIn(body);
  return (
    error instanceof Object &&
    typeof Reflect.get(error, "code") === "string" &&
    typeof Reflect.get(error, "message") === "string" &&
    Reflect.get(error, "fields") instanceof Object
  );
}

function refusalIn(body: unknown): Refusal {
  const error = errorIn(body);
  const read = (name: string) => (error instanceof Object ? Reflect.get(error, name) : undefined);
  return {
    code: String(read("code") ?? "refused"),
    message: String(read("message") ?? ""),
    fields: problemFields(read("fields")),
  };
}

/** Per field one sentence, whatever shape the server's list has; within a list by its place: `units.3.tag`. */
export function problemFields(fields: unknown): Record<string, string> {
  if (Array.isArray(fields)) {
    return Object.fromEntries(fields.map((name) => [String(name), ""]));
  }
  return fields instanceof Object ? Object.fromEntries(problemsIn(fields)) : {};
}

function problemsIn(fields: object): [string, string][] {
  return Object.entries(fields).flatMap(([name, said]): [string, string][] => {
    if (Array.isArray(said)) return [[name, said.map(String).join(" ")]];
    if (!(said instanceof Object)) return [[name, String(said)]];
    // The engine's own error: its code has words on this phone.
    if ("code" in said) return [[name, String(said.code)]];
    return problemsIn(said).map(([inner, words]) => [`${name}.${inner}`, words]);
  });
}
