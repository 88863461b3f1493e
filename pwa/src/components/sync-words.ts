/** The state of sync in plain words. */
import { t } from "../text";

export type SyncBarState = {
  online: boolean;
  signed_in: boolean;
  is_link?: boolean;
  is_over?: boolean;
  waiting: number;
  photos_waiting: number;
  photo_progress: { number: number; total: number; share: number } | null;
  attention: number;
  not_taken: number;
  /** Of these, what was put off: no bar asks for it. */
  put_off?: number;
  last_sent_at: string | null;
  sending: boolean;
  stuck?: "silent" | "busy" | "phone_full" | null;
  update_needed?: boolean;
  is_ended?: boolean;
};

export function stateWords(sync: SyncBarState): string {
  if (sync.waiting + sync.photos_waiting === 0) {
    if (sync.is_ended) return t("sync.ended");
    if (!sync.online) return t("sync.offline");
    return sentWords(sync);
  }
  return t("sync.saved");
}

/** Where the bar above counts all that was not taken, it is not counted again. */
function sentWords({ not_taken: count, put_off, attention, last_sent_at }: SyncBarState): string {
  const isSent = last_sent_at !== null;
  if (count === 0) return t(isSent ? "sync.sent" : "sync.nothing_to_send");
  const isCounted = attention > 0 && !put_off;
  if (isSent && isCounted) return t("sync.else_sent");
  return t(isSent ? "sync.not_taken_else" : "sync.not_taken", { count });
}

export function whatWaits(sync: SyncBarState): string | null {
  const { waiting: changes, photos_waiting: photos } = sync;
  const count = changes + photos;
  if (count === 0) return null;
  if (!sync.signed_in && sync.is_link) return t(`sync.link_${sync.is_over ? "ended" : "again"}`);
  if (sync.sending && sync.photo_progress) return photoWords(sync.photo_progress);
  if (sync.sending) return t("sync.sending", { count });
  if (sync.online && sync.stuck) return t(`sync.stuck_${sync.stuck}`);
  const where = sync.online ? "" : "_signal";
  if (changes === 0) return t(`sync.photos_waiting${where}`, { photos });
  return t(`sync.waiting${where}`, { changes, photos, count });
}

/** Whole percents, never a hundred before the server has said so. */
export function photoWords({
  number,
  total,
  share,
}: NonNullable<SyncBarState["photo_progress"]>): string {
  const percent = Math.min(99, Math.floor(share * 100));
  return t("sync.photos_going", { number, total, percent });
}

/** What needs a person says enough where nothing waits, the line is there, and nothing was sent. */
export function isAllSaid(sync: SyncBarState): boolean {
  const isQuiet = sync.online && sync.waiting + sync.photos_waiting === 0;
  return sync.attention > 0 && isQuiet && sync.last_sent_at === null && !sync.is_ended;
}
