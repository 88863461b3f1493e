import { sendNow } from "../../actions/sendNow";
import { Button, ButtonLink } from "../../components/Button";
import { formatDayTime } from "../../format";
import { hereZone } from "../../format/here";
import { session } from "../../local/session";
import { type SyncState, useSync } from "../../queries/sync";
import { t } from "../../text";

function linesOf(sync: SyncState): string[] {
  const lines: string[] = sync.is_ended ? [t("sync.ended")] : [];
  if (sync.waiting > 0) lines.push(t("you.sync.waiting", { count: sync.waiting }));
  if (sync.photos_waiting > 0) lines.push(t("you.sync.photos", { count: sync.photos_waiting }));
  if (sync.not_taken > 0) lines.push(t("sync.not_taken", { count: sync.not_taken }));
  if (lines.length === 0) lines.push(t("you.sync.all_sent"));
  if (!sync.online) lines.push(t("you.sync.offline"));
  else if (!sync.signed_in && !sync.is_ended) lines.push(t(`you.sync.${whySignedOut(sync)}`));
  lines.push(
    sync.last_sent_at
      ? t("you.sync.last", { when: formatDayTime(sync.last_sent_at, { zone: hereZone() }) })
      : t("you.sync.never"),
  );
  return lines;
}

function whySignedOut({ is_link, is_over }: SyncState) {
  if (!is_link) return "signed_out";
  return is_over ? "link_ended" : "link_again";
}

/** What waits and what was sent; sending starts by itself, the button is for the impatient. */
export function SyncCard() {
  const sync = useSync().value;
  const [first, ...rest] = linesOf(sync);
  return (
    <section class="you-part stack">
      <h2>{t("you.sync")}</h2>
      <div>
        <p>
          <b>{first}</b>
        </p>
        {rest.map((line) => (
          <p key={line} class="quiet-text">
            {line}
          </p>
        ))}
      </div>
      {sync.attention > 0 ? (
        <ButtonLink kind="danger" href="/attention">
          {t("you.sync.attention", { count: sync.attention })}
        </ButtonLink>
      ) : (
        <ButtonLink kind="quiet" href="/attention">
          {t("attention.title")}
        </ButtonLink>
      )}
      {!sync.signed_in && !sync.is_ended && session.value?.as !== "link" ? (
        <ButtonLink href="/sign-in">{t("you.sync.sign_in")}</ButtonLink>
      ) : (
        <Button
          icon="repeat"
          onPress={() => void sendNow()}
          notYet={sync.online ? undefined : t("you.sync.no_signal")}
        >
          {t(sync.sending ? "you.sync.sending" : "you.sync.send")}
        </Button>
      )}
    </section>
  );
}
