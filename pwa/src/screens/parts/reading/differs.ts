import type { ReadingRow } from "../../../local/rows";
import { t } from "../../../text";

/** The server works every reading out again; where it comes to something else, that is said. */
export function serverWords({ differs, verdict, server_outputs }: ReadingRow): string | null {
  if (!differs) return null;
  const theirs = server_outputs?.["verdict"] as ReadingRow["verdict"] | undefined;
  if (!theirs || theirs === verdict) return t("unit.server_numbers_differ");
  return t("unit.server_differs", { verdict: t(`state.${theirs}`).toLowerCase() });
}
