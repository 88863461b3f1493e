import { formatBytes } from "../../format";
import { useStored } from "../../queries/stored";
import { t } from "../../text";

/** What lies on this device, by kind, as lines of the list around it. */
export function StoredKinds() {
  const stored = useStored().value;
  if (!stored) return null;
  const { photos, photos_bytes } = stored;
  const size = formatBytes(photos_bytes);
  return (
    <>
      <dt>{t("you.storage.waiting")}</dt>
      <dd>{stored.waiting}</dd>
      <dt>{t("you.storage.photos")}</dt>
      <dd>{photos === 0 ? "0" : t("you.storage.photos_size", { count: photos, size })}</dd>
      <dt>{t("you.storage.pictures")}</dt>
      <dd>{stored.pictures}</dd>
      <dt>{t("you.storage.drafts")}</dt>
      <dd>{stored.drafts}</dd>
      <dt>{t("you.storage.sent")}</dt>
      <dd>{stored.sent}</dd>
    </>
  );
}
