import { Button } from "../../components/Button";
import { installState, offerInstall } from "../../offline/install";
import { t } from "../../text";

/** Browsers that can install on request get a button; in the others the menu does it. */
export function InstallCard() {
  const state = installState.value;
  if (state === "installed") return <p class="quiet-text">{t("you.install.done")}</p>;
  return (
    <section class="you-part stack">
      <h2>{t("you.install")}</h2>
      <p>{t("you.install.hint")}</p>
      {state === "ready" ? (
        <Button onPress={() => void offerInstall()}>{t("you.install")}</Button>
      ) : (
        <p class="quiet-text">{t("you.install.menu")}</p>
      )}
    </section>
  );
}
