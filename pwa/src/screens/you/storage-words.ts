import { formatBytes } from "../../format";
import { leftBytes, type StoredBytes } from "../../offline/storage";
import { t } from "../../text";

/** Below this share of the quota left, a few photos more may not fit. */
export const LOW_SHARE = 0.1;

type Known = { stored: StoredBytes | undefined; isFull: boolean };

/** What the phone itself has found out goes before what the browser tells. */
export function leftWords({ stored, isFull }: Known): string {
  if (isFull) return t("you.storage.left_none");
  const left = stored && leftBytes(stored);
  return left === undefined ? t("you.storage.unknown") : formatBytes(left);
}

export function isLow(stored: StoredBytes): boolean {
  const { quota_bytes: quota = 0 } = stored;
  return quota > 0 && (leftBytes(stored) ?? quota) < quota * LOW_SHARE;
}
