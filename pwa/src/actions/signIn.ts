import { deviceIdOf } from "../local/device";
import { readSetting, writeSetting } from "../local/home";
import { takeIn } from "../local/lost";
import type { Answer } from "../local/result";
import { enterSession, type Session } from "../local/session";
import { storeOf } from "../local/store";
import { uuid7 } from "../local/uuid7";
import { askSignIn, type SignedIn } from "../sync/api";
import { deviceName } from "./nameDevice";

/**
 * Sign in once on this phone. Needs the network; everything afterwards does not.
 *
 * What this person saved earlier on this phone is there again. The server refuses a wrong email or
 * password (`reason` says which kind of no), and too many tries.
 */
export async function signIn(who: { email: string; password: string }): Promise<Answer<Session>> {
  const remembered = `device/${who.email.trim().toLowerCase()}`;
  const device_id = (await readSetting<string>(remembered)) ?? uuid7();
  const answer = await askSignIn({ ...who, device_id, device_name: await deviceName() });
  if (!answer.ok) {
    // A 401 here is the server's word on the password, not a session that ran out.
    return answer.code === "not_signed_in"
      ? { ok: false, code: "refused", reason: "wrong_email_or_password" }
      : answer;
  }
  const session = { ...sessionOf(answer.value), email: who.email };
  const store = storeOf(session.principal_id);
  await takeIn(session.principal_id, answer.value.device_id);
  await writeSetting(remembered, await deviceIdOf(store));
  await enterSession(session);
  return { ok: true, value: session };
}

/** A person as the server names them. */
export function sessionOf({ person, company }: SignedIn): Session {
  return {
    as: "device",
    principal_id: person.id,
    role: person.role,
    name: person.name,
    company_name: company.name,
  };
}
