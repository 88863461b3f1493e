import { useState } from "preact/hooks";
import { type Link, revokeLink } from "../../actions/links";
import { Button } from "../../components/Button";
import { Notice } from "../../components/Notice";
import { Sheet } from "../../components/Sheet";
import { formatDay, formatDayTime } from "../../format";
import { hereZone } from "../../format/here";
import { isPast } from "../../queries/now";
import { t } from "../../text";

type Props = { link: Link; onChanged: () => void };

function stateWords({ revoked_at, expires_at }: Link): string {
  const zone = hereZone();
  if (revoked_at) return t("office.link_revoked", { day: formatDay(revoked_at, { zone }) });
  return t(isPast(expires_at) ? "office.link_ended" : "office.link_live", {
    day: formatDay(expires_at, { zone }),
  });
}

/** By these two links to one person are told apart, and whether it has come to them. */
function openedWords({ created_at, last_opened_at }: Link): string {
  const zone = hereZone();
  const made = formatDay(created_at, { zone });
  if (!last_opened_at) return t("office.link_unopened", { made });
  return t("office.link_opened", { made, opened: formatDayTime(last_opened_at, { zone }) });
}

export function LinkLine({ link, onChanged }: Props) {
  const [isAsking, setAsking] = useState(false);
  const isLive = !link.revoked_at && !isPast(link.expires_at);
  const { firm, recipient } = link;
  return (
    <li class="office-link">
      <div>
        <p>
          <b>{t("office.link_for", { recipient, firm })}</b>
        </p>
        <p class="quiet-text">{stateWords(link)}</p>
        <p class="quiet-text">{openedWords(link)}</p>
      </div>
      {isLive && (
        <Button
          kind="quiet"
          label={t("office.link_revoke_for", { recipient })}
          onPress={() => setAsking(true)}
        >
          {t("office.link_revoke")}
        </Button>
      )}
      {isAsking && <AskRevoke link={link} onClose={() => setAsking(false)} onChanged={onChanged} />}
    </li>
  );
}

function AskRevoke({ link, onChanged, onClose }: Props & { onClose: () => void }) {
  const [isFailed, setFailed] = useState(false);
  const revoke = async () => {
    const answer = await revokeLink(link.id);
    if (!answer.ok) return setFailed(true);
    onChanged();
    onClose();
  };
  return (
    <Sheet
      title={t("office.link_revoke_title")}
      onClose={onClose}
      bottom={
        <div class="actions">
          <Button onPress={onClose}>{t("office.cancel")}</Button>
          <Button kind="danger" onPress={() => void revoke()}>
            {t("office.link_revoke")}
          </Button>
        </div>
      }
    >
      <p>{t("office.link_revoke_words", { recipient: link.recipient })}</p>
      {isFailed && (
        <Notice kind="bad" urgency="now">
          <p>{t("office.links_failed")}</p>
        </Notice>
      )}
    </Sheet>
  );
}
