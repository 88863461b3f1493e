import { useState } from "preact/hooks";
import { takeOver } from "../../actions/takeOver";
import { Button } from "../../components/Button";
import { Notice } from "../../components/Notice";
import type { Session } from "../../local/session";
import { type LeftBehind as Left, useLeftBehind } from "../../queries/left-behind";
import { t } from "../../text";

/** Work of somebody whose link was opened on this phone before: it is theirs, so it is asked about. */
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

function Offer({ left: { link_id, ...what } }: { left: Left }) {
  const [isFull, setFull] = useState(false);
  const send = () => takeOver(link_id).then(({ ok }) => setFull(!ok));
  return (
    <Notice kind="doubt">
      <p>
        <b>{t("answer.left_behind", { name: what.name })}</b>
      </p>
      <p>{t("answer.left_behind_hint", what)}</p>
      {isFull && <p role="alert">{t("common.disk_full")}</p>}
      <div class="actions">
        <Button onPress={() => void send()}>{t("answer.left_behind_send")}</Button>
      </div>
    </Notice>
  );
}
