import { ButtonLink } from "../../components/Button";
import { Notice } from "../../components/Notice";
import type { OtherValue } from "../../local/rows";
import { t } from "../../text";

type Row = { two_values?: Record<string, OtherValue> };

/** Different things were written for one field: nothing is lost, and whoever sees it can settle it. */
export function TwoValuesNotice({ rows }: { rows: readonly Row[] }) {
  const count = rows.reduce((sum, row) => sum + Object.keys(row.two_values ?? {}).length, 0);
  if (count === 0) return null;
  return (
    <Notice kind="doubt">
      <p>{t("attention.two_count", { count })}</p>
      <ButtonLink href="/attention">{t("attention.settle")}</ButtonLink>
    </Notice>
  );
}
