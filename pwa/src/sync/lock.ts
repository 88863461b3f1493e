import type { Session } from "../local/home";

/** One drainer per principal, shared by all tabs and the service worker. */
export function lockName(who: Pick<Session, "principal_id">): string {
  return `flarenut-sync-${who.principal_id}`;
}
