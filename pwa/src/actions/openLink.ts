import { takeIn } from "../local/lost";
import type { Answer, Failure } from "../local/result";
import { enterSession, lastLink, type Session } from "../local/session";
import { uuid7 } from "../local/uuid7";
import { sha256Hex } from "../photo/picture";
import { askOpenLink } from "../sync/api";

/** `asked` says who answered: the office, or this phone, which knows the link from before. */
export type Opened = { session: Session; asked: "office" | "phone" };

/**
 * Open a contractor's link with the secret that stood behind the # of its address.
 *
 * Needs the network once; then the same link opens what is on this phone, with no signal and also when it
 * has ended. The server refuses a link that was revoked, has run out, or never was. The same link comes to
 * the same store again; what waits in the stores of others to this job is seen to by sync/gather.ts.
 */
export async function openLink(secret: string): Promise<Answer<Opened>> {
  const device_id = uuid7();
  const secret_sha256 = await hashOf(secret);
  const answer = await askOpenLink({ secret, device_id });
  if (!answer.ok) {
    const refused = refusalOf(answer);
    return (await openedBefore(secret_sha256, { refused })) ?? refused;
  }
  const { link, company } = answer.value;
  const session: Session = {
    as: "link",
    principal_id: link.id,
    role: "contractor",
    name: link.firm,
    firm: link.firm,
    recipient: link.recipient,
    company_name: company.name,
    job_id: link.job_id,
    ...(secret_sha256 && { secret_sha256 }),
    expires_at: link.expires_at,
  };
  await takeIn(link.id, device_id);
  await enterSession(session);
  return { ok: true, value: { session, asked: "office" } };
}

function refusalOf(answer: Failure): Failure {
  return answer.code === "not_signed_in"
    ? { ok: false, code: "refused", reason: "link_ended" }
    : answer;
}

/**
 * Only the link that was opened last: the browser has the cookie of that one and of no other. One that the
 * office no longer knows is over from now on, whatever day it was made for.
 */
async function openedBefore(
  secret_sha256: string | undefined,
  { refused }: { refused: Failure },
): Promise<Answer<Opened> | null> {
  const last = await lastLink();
  if (!last || secret_sha256 === undefined || last.secret_sha256 !== secret_sha256) return null;
  const isOver = refused.reason === "link_ended";
  const session = isOver ? { ...last, expires_at: new Date().toISOString() } : last;
  await enterSession(session);
  return { ok: true, value: { session, asked: isOver ? "office" : "phone" } };
}

/** Nothing over a line that is not secure, where a browser hashes nothing. */
async function hashOf(secret: string): Promise<string | undefined> {
  return globalThis.crypto?.subtle ? await sha256Hex(new Blob([secret])) : undefined;
}
