import { Choice } from "../../components/Choice";
import { leftHanded, type Mode, mode, setLeftHanded, setMode } from "../../local/session";
import { t } from "../../text";

const MODES: readonly Mode[] = ["auto", "day", "dark", "sun"];

/** Kept on this device, for everyone who signs in on it: it is about the eyes and the hand. */
export function Appearance() {
  return (
    <section class="you-part stack">
      <Choice
        label={t("you.mode")}
        layout="grid"
        options={MODES.map((value) => ({ value, label: t(`you.mode.${value}`) }))}
        value={mode.value}
        onPick={(value) => void setMode(value)}
      />
      <p class="quiet-text">{t("you.mode.hint")}</p>
      <Choice
        label={t("you.hand")}
        options={[
          { value: "left", label: t("you.hand.left") },
          { value: "right", label: t("you.hand.right") },
        ]}
        value={leftHanded.value ? "left" : "right"}
        onPick={(value) => void setLeftHanded(value === "left")}
      />
    </section>
  );
}
