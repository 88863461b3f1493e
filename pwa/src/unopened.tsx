import { Button } from "./components/Button";
import { Notice } from "./components/Notice";
import { Screen } from "./components/Screen";
import { TopBar } from "./components/TopBar";
import { formatHere } from "./format/time";
import { readTally, type Tally } from "./local/tally";
import { t } from "./text";

function waitsWords(tally: Tally): string {
  const at = formatHere(tally.at);
  const { changes, photos } = tally;
  return changes + photos > 0
    ? t("unopened.waits", { at, changes, photos })
    : t("unopened.nothing_waits", { at });
}

/** The browser cannot open what is kept on this phone, or another window holds it. Nothing is deleted, and nothing is overwritten. */
export function Unopened({ problem }: { problem: Error | null }) {
  const tally = readTally();
  return (
    <Screen
      name={t("unopened.title")}
      top={<TopBar title={t("unopened.title")} />}
      bottom={
        <Button kind="primary" onPress={() => location.reload()}>
          {t("unopened.again")}
        </Button>
      }
    >
      <Notice kind="bad" urgency="now">
        <p>{t("unopened.words")}</p>
      </Notice>
      {tally && <p>{waitsWords(tally)}</p>}
      <h2>{t("unopened.what_to_do")}</h2>
      <ol class="in-order">
        <li>{t("unopened.close_others")}</li>
        <li>{t("unopened.restart")}</li>
        <li>{t("unopened.last")}</li>
      </ol>
      {problem && <p class="quiet-text">{t("app.failed_what", { what: problem.message })}</p>}
    </Screen>
  );
}
