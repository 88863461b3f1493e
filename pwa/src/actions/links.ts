import type * as v from "valibot";
import type { Answer } from "../local/result";
import { askCreateLink, askLinks, askRevokeLink, here } from "../sync/api";
import type { LinkShape, NewLinkAnswer } from "../sync/shapes";

export type Link = v.InferOutput<typeof LinkShape>;
/** The secret and the code are seen this one time; the server keeps only a hash. */
export type NewLink = v.InferOutput<typeof NewLinkAnswer>;

/** Needs the network: a link that only this phone knows would open nothing. */
export async function createLink(what: {
  jobId: string;
  firm: string;
  recipient: string;
  days: number;
}): Promise<Answer<NewLink>> {
  return await askCreateLink(here("device"), what);
}

export async function listLinks(jobId: string): Promise<Answer<Link[]>> {
  const answer = await askLinks(here("device"), jobId);
  return answer.ok ? { ok: true, value: answer.value.links } : answer;
}

/** Needs the network: somebody must be kept out now, not when signal comes back. */
export async function revokeLink(linkId: string): Promise<Answer<null>> {
  const answer = await askRevokeLink(here("device"), linkId);
  return answer.ok ? { ok: true, value: null } : answer;
}
