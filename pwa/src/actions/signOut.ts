import { noteSignOut } from "../local/lost";
import { leaveSession, session } from "../local/session";
import { askSignOut, here } from "../sync/api";

/** Nobody should stand there and wait for a server that does not answer. */
const PATIENCE_MS = 5_000;

/**
 * Sign out of this phone. With no signal the phone forgets who it is all the same; the server ends
 * the session when it runs out. What is not sent stays in this person's own store and goes out
 * after the next sign-in.
 */
export async function signOut(): Promise<void> {
  const who = session.value;
  if (who) {
    await askSignOut({ ...here(who.as), signal: AbortSignal.timeout(PATIENCE_MS) });
    await noteSignOut();
    await leaveSession();
  }
}
