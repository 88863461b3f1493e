import { forgetLoss } from "../../actions/forgetLoss";
import { Button } from "../../components/Button";
import { Notice } from "../../components/Notice";
import { formatHere } from "../../format/time";
import { lost } from "../../local/lost";
import type { Tally } from "../../local/tally";
import { t } from "../../text";

function goneWords(tally: Tally | undefined): string {
  if (!tally) return t("lost.unknown");
  const { name, changes, photos, drafts } = tally;
  const at = formatHere(tally.at);
  if (changes + photos + drafts === 0) return t("lost.nothing", { at });
  return t("lost.gone", { at, name, changes, photos, drafts });
}

/** What this phone kept was cleared: said until it is read, on the first screen of each role. */
export function LiveLost() {
  const what = lost.value;
  if (!what) return null;
  return (
    <Notice kind="bad" urgency="now">
      <p>
        <b>{t("lost.title")}</b> {t("lost.words")}
      </p>
      <p>{goneWords(what.tally)}</p>
      <div class="actions">
        <Button onPress={() => void forgetLoss()}>{t("lost.read")}</Button>
      </div>
    </Notice>
  );
}
