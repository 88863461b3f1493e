import { forgetLoss } from "../../actions/forgetLoss";
import { Button } from "../../components/Button";
import { Notice } from "../../components/Notice";
import { formatHere } from "../../format/time";
import { type Lost, lost } from "../../local/lost";
import { isSomething } from "../../local/tally";
import { t } from "../../text";

/** A sentence for each who lost something; else that nothing was lost, as far as anybody knows. */
export function goneWords({ tallies, is_unknown }: Lost): string[] {
  const gone = tallies.filter(isSomething).map(({ name, changes, photos, drafts, at }) => {
    return t("lost.gone", { at: formatHere(at), name, changes, photos, drafts });
  });
  const last = tallies.at(-1);
  if (is_unknown || !last) return [...gone, t("lost.unknown")];
  return gone.length > 0 ? gone : [t("lost.nothing", { at: formatHere(last.at) })];
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
      {goneWords(what).map((words) => (
        <p key={words}>{words}</p>
      ))}
      <div class="actions">
        <Button onPress={() => void forgetLoss()}>{t("lost.read")}</Button>
      </div>
    </Notice>
  );
}
