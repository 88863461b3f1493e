import { Button } from "./components/Button";
import { Notice } from "./components/Notice";
import { Screen } from "./components/Screen";
import { TopBar } from "./components/TopBar";
import { formatHere } from "./format/time";
import { readTally } from "./local/tally";
import { t } from "./text";

/** The browser cannot open what is kept on this phone. Nothing is deleted, and nothing is overwritten. */
export function Unopened({ problem }: { problem: Error }) {
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
      {tally && <p>{t("unopened.waits", { ...tally, at: formatHere(tally.at) })}</p>}
      <h2>{t("unopened.what_to_do")}</h2>
      <ol>
        <li>{t("unopened.close_others")}</li>
        <li>{t("unopened.restart")}</li>
        <li>{t("unopened.last")}</li>
      </ol>
      <p class="quiet-text">{t("app.failed_what", { what: problem.message })}</p>
    </Screen>
  );
}
