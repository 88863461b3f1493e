import type { JobRow } from "../../local/rows";
import { t } from "../../text";

/** A line that stands under a title; on an invented job it says so, on every screen that shows the job. */
export function markInvented(what: string, { job }: { job: JobRow }): string {
  return job.invented ? t("common.invented_after", { what }) : what;
}
