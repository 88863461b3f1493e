import { Button } from "./components/Button";
import { Notice } from "./components/Notice";
import { Screen } from "./components/Screen";
import { TopBar } from "./components/TopBar";
import { formatHere } from "./format/time";
import { readTallies, type Tally } from "./local/tally";
import { t } from "./text";

/** Of all who have used this phone. */
function waitsWords(tallies: Tally[], last: Tally): string {
  const at = formatHere(last.at);
  const changes = tallies.reduce((sum, one) => sum + one.changes, 0);
  const photos = tallies.reduce((sum, one) => sum + one.photos, 0);
  return changes + photos > 0
    ? t("unopened.waits", { at, changes, photos })
    : t("unopened.nothing_waits", { at });
}

/** The browser cannot open what is kept on this phone, or another window holds it. Nothing is deleted, and nothing is overwritten. */
export function Unopened({ problem }: { problem: Error | null }) {
  const tallies = readTallies() ?? [];
  const last = tallies.at(-1);
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
      {last && <p>{waitsWords(tallies, last)}</p>}
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
