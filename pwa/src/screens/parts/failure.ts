import type { Failure } from "../../local/result";
import { t } from "../../text";

/** Why something was not saved. Whatever was typed is still on the screen and in its draft. */
export function failureWords(failure: Failure): string {
  if (failure.code === "disk_full") return t("common.disk_full");
  if (failure.fields?.["size"]) return t("common.too_much");
  const field = Object.keys(failure.fields ?? {})[0];
  if (failure.code === "invalid" && field)
    return t("common.invalid", { field: field.replaceAll("_", " ") });
  return failure.message ?? t("common.not_saved");
}
