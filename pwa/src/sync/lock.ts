import type { Session } from "../local/home";

/** One drainer per principal, shared by all tabs and the service worker. */
export function lockName(who: Pick<Session, "principal_id">): string {
  return `flarenut-sync-${who.principal_id}`;
}

/** Of all tabs one at a time moves what links to this job have left behind. */
export function gatheringLockName({ job_id }: Pick<Session, "job_id">): string {
  return `flarenut-gather-${job_id}`;
}
