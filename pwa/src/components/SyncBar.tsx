import { t } from "../text";
import { isAllSaid, photoWords, type SyncBarState, stateWords, whatWaits } from "./sync-words";

type Props = {
  sync: SyncBarState | undefined;
  /** "waits" where the screen has just said itself that it is saved. */
  says?: "all" | "waits";
  /** Offered only where a try of the app's own came to nothing. */
  onSendNow?: () => void;
};

/** Every state of sync in plain words. What needs a person comes first and hides nothing of the rest. */
export function SyncBar(props: Props) {
  const { sync } = props;
  if (!sync) return null;
  return (
    <>
      {sync.attention > 0 && (
        <a class="sync-bar sync-bar-needs" href="/attention">
          <b>{t("sync.attention")}</b>
          <span>{t("sync.attention_count", { count: sync.attention })}</span>
        </a>
      )}
      {!isAllSaid(sync) && <Line {...props} sync={sync} />}
    </>
  );
}

function Line({ sync, says = "all", onSendNow }: Props & { sync: SyncBarState }) {
  const waits = whatWaits(sync);
  return (
    <div class={waits ? "sync-bar" : "sync-bar sync-bar-quiet"} role="status">
      {(says === "all" || !waits) && <b>{stateWords(sync)}</b>}
      {waits && <span>{waits}</span>}
      {sync.update_needed && <span>{t("sync.update_needed")}</span>}
      {waits && <WhatToDo sync={sync} onSendNow={onSendNow} />}
      {sync.sending && sync.photo_progress && (
        <progress
          aria-label={photoWords(sync.photo_progress)}
          value={sync.photo_progress.number - 1 + sync.photo_progress.share}
          max={sync.photo_progress.total}
        />
      )}
    </div>
  );
}

type Doing = { sync: SyncBarState; onSendNow: (() => void) | undefined };

/** Only where the app does not go on by itself, or its own try came to nothing. */
function WhatToDo({ sync, onSendNow }: Doing) {
  if (!sync.signed_in) {
    return sync.is_link || sync.is_ended ? null : (
      <a class="button button-quiet" href="/sign-in">
        {t("sync.sign_in")}
      </a>
    );
  }
  return sync.stuck && sync.online && !sync.sending && onSendNow ? (
    <button type="button" class="button button-quiet" onClick={onSendNow}>
      {t("sync.send_now")}
    </button>
  ) : null;
}
