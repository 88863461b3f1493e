import { Button, ButtonLink } from "../../components/Button";
import { session } from "../../local/session";
import { t } from "../../text";
import { linesOf } from "./sync-lines";
import { useSendNow } from "./useSendNow";

/** What waits and what was sent; sending starts by itself, the button is for the impatient. */
export function SyncCard() {
  const { sync, press } = useSendNow();
  const [first, ...rest] = linesOf(sync);
  return (
    <section class="you-part stack">
      <h2>{t("you.sync")}</h2>
      <div role="status">
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
          onPress={press}
          notYet={sync.online ? undefined : t("you.sync.no_signal")}
        >
          {t(sync.sending ? "you.sync.sending" : "you.sync.send")}
        </Button>
      )}
    </section>
  );
}
