import { whatWaits } from "../../components/sync-words";
import { formatDayTime } from "../../format";
import { hereZone } from "../../format/here";
import type { SyncState } from "../../queries/sync";
import { t } from "../../text";

/** What waits, what is being done about it, and when something was sent last: in the words of the line of sync. */
export function linesOf(sync: SyncState): string[] {
  const lines = [sync.is_ended ? t("sync.ended") : null, countWords(sync)];
  if (sync.not_taken > 0) lines.push(t("sync.not_taken", { count: sync.not_taken }));
  if (!lines.some(Boolean)) {
    lines.push(t(sync.last_sent_at === null ? "sync.nothing_to_send" : "you.sync.all_sent"));
  }
  lines.push(goingWords(sync));
  if (!sync.online) lines.push(t("you.sync.offline"));
  else if (!sync.signed_in && !sync.is_ended) lines.push(t(`you.sync.${whySignedOut(sync)}`));
  lines.push(lastWords(sync));
  return lines.filter((line) => line !== null);
}

/** How the sending goes: under way, with the photo that is on its way, or why it does not go on. */
export function goingWords(sync: SyncState): string | null {
  if (!sync.online || !sync.signed_in) return null;
  if (sync.sending || (sync.stuck && isWaiting(sync))) return whatWaits(sync);
  return sync.stuck === "silent" ? t("sync.stuck_silent") : null;
}

function isWaiting({ waiting, photos_waiting }: SyncState): boolean {
  return waiting + photos_waiting > 0;
}

function countWords(sync: SyncState): string | null {
  return whatWaits({ ...sync, signed_in: true, sending: false, stuck: null });
}

function whySignedOut({ is_link, is_over }: SyncState) {
  if (!is_link) return "signed_out";
  return is_over ? "link_ended" : "link_again";
}

function lastWords({ last_sent_at }: SyncState): string {
  if (!last_sent_at) return t("you.sync.never");
  return t("you.sync.last", { when: formatDayTime(last_sent_at, { zone: hereZone() }) });
}
