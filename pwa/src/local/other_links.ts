/**
 * The other links to the same job that were opened on this phone before. Their stores are their own; a link
 * that has ended opens never again, and what waits in its store can only go by a newer one.
 */
import { home, type SavedSession, type Session } from "./home";
import type { Store } from "./store";

export async function otherLinks(who: Session): Promise<SavedSession[]> {
  const links = await home.sessions.where("as").equals("link").toArray();
  return links.filter(
    ({ job_id, principal_id }) => job_id === who.job_id && principal_id !== who.principal_id,
  );
}

/** Made out to the same person of the same firm. Where nobody is named, it is nobody's for certain. */
export function isSameRecipient(one: Session, other: Session): boolean {
  const [mine, theirs] = [one, other].map(({ recipient = "", firm = "" }) => ({
    recipient: plain(recipient),
    firm: plain(firm),
  }));
  return mine?.recipient !== "" && JSON.stringify(mine) === JSON.stringify(theirs);
}

const plain = (name: string) => name.trim().replace(/\s+/g, " ").toLowerCase();

/** Anything that a person did or typed and that nobody else has yet. */
export async function hasWork(store: Store): Promise<boolean> {
  const { outbox, uploads, drafts, attention } = store;
  const counts = await Promise.all([outbox, uploads, drafts, attention].map((one) => one.count()));
  return counts.some((count) => count > 0);
}
