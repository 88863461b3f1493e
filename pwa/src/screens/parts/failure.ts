import type { Room } from "../../actions/drafts";
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

type Kept = { room: Room };

/** Beside a draft that had no room either: it is not true then that what was typed is kept. */
export function troubleWords(failure: Failure | undefined, { room }: Kept): string | undefined {
  if (!failure) return undefined;
  const isNowhere = room === "full" && failure.code === "disk_full";
  return isNowhere ? t("common.draft_full") : failureWords(failure);
}

/** On a form with photos, whose buttons say themselves that the draft has no room. */
export function troubleBesidePhotos(
  failure: Failure | undefined,
  { room }: Kept,
): string | undefined {
  const isSaid = room === "full" && failure?.code === "disk_full";
  return failure && !isSaid ? failureWords(failure) : undefined;
}
