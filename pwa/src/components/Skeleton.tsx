import { t } from "../text";

/** Shown while the phone's own store answers; it never waits for the network. */
export function Skeleton({ lines = 6 }: { lines?: number }) {
  return (
    <div class="skeleton" role="status">
      <p class="spoken">{t("common.loading")}</p>
      {Array.from({ length: lines }, (_, index) => (
        <span key={index} />
      ))}
    </div>
  );
}
