/** Below this share of the quota left, a few photos more may not fit. */
export const LOW_SHARE = 0.1;

export type StoredBytes = { used_bytes: number; quota_bytes: number };

export function leftBytes({ used_bytes, quota_bytes }: StoredBytes): number {
  return Math.max(quota_bytes - used_bytes, 0);
}

export function isLow(stored: StoredBytes): boolean {
  return stored.quota_bytes > 0 && leftBytes(stored) < stored.quota_bytes * LOW_SHARE;
}
