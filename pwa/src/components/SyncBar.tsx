import { t } from "../text";

export type SyncBarState = {
  online: boolean;
  signed_in: boolean;
  waiting: number;
  photos_waiting: number;
  photo_progress: { done: number; total: number } | null;
  attention: number;
  last_sent_at: string | null;
  sending: boolean;
  is_stuck?: boolean;
  update_needed?: boolean;
};

function stateWords(sync: SyncBarState): string {
  if (sync.waiting + sync.photos_waiting === 0) {
    if (!sync.online) return t("sync.offline");
    return t(sync.last_sent_at === null ? "sync.nothing_to_send" : "sync.sent");
  }
  return t("sync.saved");
}

function whatWaits(sync: SyncBarState): string | null {
  if (sync.waiting + sync.photos_waiting === 0) return null;
  if (!sync.signed_in) return t("sync.sign_in");
  if (sync.sending && sync.photo_progress) return t("sync.photos_going", sync.photo_progress);
  if (sync.sending) return t("sync.sending");
  if (sync.online && sync.is_stuck) return t("sync.no_answer");
  const { waiting: changes, photos_waiting: photos } = sync;
  const where = sync.online ? "" : "_signal";
  if (changes === 0) return t(`sync.photos_waiting${where}`, { photos });
  return t(`sync.waiting${where}`, { changes, photos, count: changes + photos });
}

type Props = {
  sync: SyncBarState | undefined;
  /** "waits" where the screen has just said itself that it is saved. */
  says?: "all" | "waits";
  /** Offered only where a try of the app's own came to nothing. */
  onSendNow?: () => void;
};

/** Every state of sync in plain words. Pressing it leads to what needs a person. */
export function SyncBar({ sync, says = "all", onSendNow }: Props) {
  if (!sync) return null;
  if (sync.attention > 0) {
    return (
      <a class="sync-bar sync-bar-needs" href="/attention">
        <b>{t("sync.attention")}</b>
        <span>{t("sync.attention_count", { count: sync.attention })}</span>
      </a>
    );
  }
  const waits = whatWaits(sync);
  const isOffered = waits && sync.is_stuck && sync.online && sync.signed_in && !sync.sending;
  return (
    <div class={waits ? "sync-bar" : "sync-bar sync-bar-quiet"} role="status">
      {(says === "all" || !waits) && <b>{stateWords(sync)}</b>}
      {waits && <span>{waits}</span>}
      {sync.update_needed && <span>{t("sync.update_needed")}</span>}
      {isOffered && onSendNow && (
        <button type="button" class="button button-quiet" onClick={onSendNow}>
          {t("sync.send_now")}
        </button>
      )}
      {sync.sending && sync.photo_progress && (
        <progress
          aria-label={t("sync.photos_going", sync.photo_progress)}
          value={sync.photo_progress.done}
          max={sync.photo_progress.total}
        />
      )}
    </div>
  );
}
