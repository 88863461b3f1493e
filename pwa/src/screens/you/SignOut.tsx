import { useState } from "preact/hooks";
import { useLocation } from "preact-iso/router";
import { signOut } from "../../actions/signOut";
import { Button } from "../../components/Button";
import { Sheet } from "../../components/Sheet";
import { formatDay } from "../../format";
import { hereZone } from "../../format/here";
import { session } from "../../local/session";
import { useBegun } from "../../queries/begun";
import { t } from "../../text";
import { goingWords } from "./sync-lines";
import { useSendNow } from "./useSendNow";

/** Signing out never deletes unsent work: it waits in this person's own store on the device. */
export function SignOut() {
  const [isAsking, setAsking] = useState(false);
  const who = session.value;
  if (who?.as === "link") {
    return who.expires_at ? (
      <p class="quiet-text">
        {t("you.contractor_end", { day: formatDay(who.expires_at, { zone: hereZone() }) })}
      </p>
    ) : null;
  }
  return (
    <section class="you-part">
      <Button kind="quiet" onPress={() => setAsking(true)}>
        {t("you.sign_out")}
      </Button>
      {isAsking && <Ask onClose={() => setAsking(false)} />}
    </section>
  );
}

function Ask({ onClose }: { onClose: () => void }) {
  const { route } = useLocation();
  const { sync, press } = useSendNow();
  const unsent = sync.waiting + sync.photos_waiting;
  const canSend = unsent > 0 && sync.online && sync.signed_in;
  const isAllSent = unsent + sync.not_taken === 0;
  const begun = useBegun().value?.length ?? 0;
  const leave = async () => {
    await signOut();
    route("/sign-in", true);
  };
  return (
    <Sheet
      title={t("you.sign_out.title")}
      onClose={onClose}
      bottom={
        <div class="actions">
          <Button onPress={onClose}>{t("you.sign_out.stay")}</Button>
          {canSend && (
            <Button kind="primary" onPress={press}>
              {t(sync.sending ? "you.sync.sending" : "you.sign_out.send_first")}
            </Button>
          )}
          <Button kind={isAllSent && begun === 0 ? "plain" : "danger"} onPress={() => void leave()}>
            {t("you.sign_out.confirm")}
          </Button>
        </div>
      }
    >
      {unsent > 0 && (
        <p>{t("you.sign_out.unsent", { changes: sync.waiting, photos: sync.photos_waiting })}</p>
      )}
      {canSend && <p role="status">{goingWords(sync)}</p>}
      {sync.not_taken > 0 && <p>{t("you.sign_out.not_taken", { count: sync.not_taken })}</p>}
      {begun > 0 && <p>{t("begun.count", { count: begun })}</p>}
      {isAllSent && <p>{t(begun > 0 ? "you.sign_out.clean_saved" : "you.sign_out.clean")}</p>}
    </Sheet>
  );
}
