import { Button } from "./components/Button";
import { Screen } from "./components/Screen";
import { TopBar } from "./components/TopBar";
import { t } from "./text";

/** The one boundary for what nobody expected. Drafts are saved as they are typed, so nothing is lost. */
export function Failed({ problem }: { problem: Error }) {
  return (
    <Screen
      name={t("app.failed")}
      top={<TopBar title={t("app.failed")} />}
      bottom={
        <Button kind="primary" onPress={() => location.assign("/")}>
          {t("app.failed_again")}
        </Button>
      }
    >
      <p>{t("app.failed_words")}</p>
      <p class="quiet-text">{t("app.failed_what", { what: problem.message })}</p>
    </Screen>
  );
}
