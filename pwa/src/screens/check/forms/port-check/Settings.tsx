import type { ComponentChildren } from "preact";
import { t } from "../../../../text";
import { QuantityFields } from "../../../parts/reading/fields";
import { type Check, settingFields } from "./usePortCheck";

/** Before the rounds and after them: readings may scatter more than was thought. */
export function Settings({
  check: { form },
  children,
}: {
  check: Check;
  children?: ComponentChildren;
}) {
  return (
    <details class="details">
      <summary>{t("port_check.settings")}</summary>
      <div class="stack">
        {children}
        <p class="quiet-text">{t("port_check.settings_hint")}</p>
        <QuantityFields form={form} fields={settingFields()} />
      </div>
    </details>
  );
}
