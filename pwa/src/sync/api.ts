/** What needs the network at once: signing in, links, checking a sheet. Not part of the write path. */
import * as v from "valibot";
import type { Answer, Failure } from "../local/result";
import { ask, type Request, type Wire } from "./http";
import { LinkOpened, LinksAnswer, NewLinkAnswer, SheetAnswer, SignInAnswer } from "./shapes";

async function call<T>(
  wire: Wire,
  { request, shape }: { request: Request; shape: v.GenericSchema<unknown, T> },
): Promise<Answer<T>> {
  const reply = await ask(wire, request);
  if (reply.kind === "ok") {
    const read = v.safeParse(shape, reply.body);
    return read.success ? { ok: true, value: read.output } : { ok: false, code: "offline" };
  }
  return failureOf(reply);
}

function failureOf(reply: Exclude<Awaited<ReturnType<typeof ask>>, { kind: "ok" }>): Failure {
  if (reply.kind === "no") {
    const { code, message, fields } = reply.refusal;
    return { ok: false, code: "refused", reason: code, message, fields };
  }
  if (reply.kind === "signed_out") {
    return { ok: false, code: "not_signed_in" };
  }
  if (reply.kind === "later" && reply.status === 429) {
    return { ok: false, code: "refused", reason: "too_many_tries" };
  }
  return reply.kind === "too_large"
    ? { ok: false, code: "invalid", fields: { size: "too_large" } }
    : { ok: false, code: "offline" };
}

export function here(as: Wire["as"]): Wire {
  return { as, fetch: fetch.bind(globalThis) };
}

export type SignedIn = v.InferOutput<typeof SignInAnswer>;
export type SignInAsk = { email: string; password: string; device_id: string; device_name: string };
export const askSignIn = (json: SignInAsk) =>
  call(here("device"), {
    request: { method: "POST", path: "/api/sign-in", json },
    shape: SignInAnswer,
  });

/** Who the browser's cookie stands for. */
export const askMe = (wire: Wire) =>
  call(wire, { request: { method: "GET", path: "/api/me" }, shape: SignInAnswer });

export const askSignOut = (wire: Wire) =>
  call(wire, { request: { method: "POST", path: "/api/sign-out", json: {} }, shape: v.unknown() });

export const askOpenLink = (json: { secret: string; device_id: string }) =>
  call(here("link"), {
    request: { method: "POST", path: "/api/links/open", json },
    shape: LinkOpened,
  });

export const askCreateLink = (
  wire: Wire,
  { jobId, ...json }: { jobId: string; firm: string; recipient: string; days: number },
) =>
  call(wire, {
    request: { method: "POST", path: `/api/jobs/${jobId}/links`, json },
    shape: NewLinkAnswer,
  });

export const askLinks = (wire: Wire, jobId: string) =>
  call(wire, { request: { method: "GET", path: `/api/jobs/${jobId}/links` }, shape: LinksAnswer });

export const askRevokeLink = (wire: Wire, linkId: string) =>
  call(wire, {
    request: { method: "POST", path: `/api/links/${linkId}/revoke`, json: {} },
    shape: v.unknown(),
  });

export const askCheckSheet = (wire: Wire, file: File) => {
  const form = new FormData();
  form.set("sheet", file);
  return call(wire, {
    request: { method: "POST", path: "/api/as-built/check", form },
    shape: SheetAnswer,
  });
};
