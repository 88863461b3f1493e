import { adoptDevice } from "../local/device";
import type { Answer } from "../local/result";
import { enterSession, type Session } from "../local/session";
import { storeOf } from "../local/store";
import { uuid7 } from "../local/uuid7";
import { askOpenLink } from "../sync/api";

/**
 * Open a contractor's link with the secret that stood behind the # of its address.
 *
 * Needs the network once; then the list and what is answered work without. The server refuses a
 * link that was revoked, has run out, or never was. The same link comes to the same store again; what
 * waits in the stores of others to this job is seen to by sync/gather.ts.
 */
export async function openLink(secret: string): Promise<Answer<Session>> {
  const device_id = uuid7();
  const answer = await askOpenLink({ secret, device_id });
  if (!answer.ok) {
    return answer.code === "not_signed_in"
      ? { ok: false, code: "refused", reason: "link_ended" }
      : answer;
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
    expires_at: link.expires_at,
  };
  await adoptDevice(storeOf(link.id), device_id);
  await enterSession(session);
  return { ok: true, value: session };
}
