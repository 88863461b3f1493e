import { APP_VERSION } from "../../local/app_version";
import { t } from "../../text";

export function About() {
  return (
    <section class="you-part stack">
      <h2>{t("you.about")}</h2>
      <p>{t("you.about.what")}</p>
      <p>
        <b>{t("you.about.safety")}</b>
      </p>
      <p class="quiet-text">{t("you.about.version", { version: APP_VERSION })}</p>
    </section>
  );
}
