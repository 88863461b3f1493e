import { preferUnits } from "../../actions/prefer";
import { Choice } from "../../components/Choice";
import { usePreferences } from "../../queries/preferences";
import { t } from "../../text";

/** Which units fields and results start with; each field can be switched where it stands. */
export function Units() {
  const system = usePreferences().value?.units ?? null;
  return (
    <section class="you-part stack">
      <Choice
        label={t("you.units")}
        layout="grid"
        options={[
          { value: "ip", label: t("you.units.ip"), hint: t("you.units.ip_hint") },
          { value: "si", label: t("you.units.si"), hint: t("you.units.si_hint") },
        ]}
        value={system}
        onPick={(value) => void preferUnits(value)}
      />
      <p class="quiet-text">{t("you.units.hint")}</p>
    </section>
  );
}
