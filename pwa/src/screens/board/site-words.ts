import type { JobView } from "../../queries/job";
import { t } from "../../text";
import { openVisit } from "./standing";

/** "Part two, test run · 2 systems · 43 units": the next visit's purpose and the size of the job. */
export function underSite({ visits, systems, units }: JobView): string {
  const visit = openVisit(visits);
  const parts = [
    visit && t(`purpose.${visit.purpose}`),
    t("board.systems", { count: systems.length }),
    t("board.units", { count: units.length }),
  ];
  return parts.filter(Boolean).join(" · ");
}
