import { useState } from "preact/hooks";
import { takeOver } from "../../actions/takeOver";
import { Button } from "../../components/Button";
import { Notice } from "../../components/Notice";
import type { Failure } from "../../local/result";
import type { Session } from "../../local/session";
import { type LeftBehind as Left, useLeftBehind } from "../../queries/left-behind";
import { t } from "../../text";
import { failureWords } from "../parts/failure";

/**
 * Work of somebody whose link was opened on this phone before: it is theirs, so it is asked about. And what
 * whoever holds this link wrote under an earlier one, where a full phone or a broken file kept it there.
 */
export function LeftBehind({ who }: { who: Session }) {
  const left = useLeftBehind(who).value ?? [];
  return (
    <>
      {left.map((one) => (
        <Offer key={one.link_id} left={one} />
      ))}
    </>
  );
}

function Offer({ left: { link_id, isOwn, ...what } }: { left: Left }) {
  const [trouble, setTrouble] = useState<string>();
  const send = async () => {
    const result = await takeOver(link_id);
    setTrouble(result.ok ? undefined : isOwn ? stuckWords(result) : failureWords(result));
  };
  return (
    <Notice kind="doubt">
      <p>
        <b>{isOwn ? t("answer.stuck") : t("answer.left_behind", { name: what.name })}</b>
      </p>
      <p>{isOwn ? t("answer.stuck_hint", what) : t("answer.left_behind_hint", what)}</p>
      {trouble && <p role="alert">{trouble}</p>}
      <div class="actions">
        <Button onPress={() => void send()}>
          {isOwn ? t("answer.stuck_send") : t("answer.left_behind_send")}
        </Button>
      </div>
    </Notice>
  );
}

function stuckWords({ code }: Failure): string {
  return code === "disk_full" ? t("answer.stuck_full") : t("answer.stuck_still");
}
