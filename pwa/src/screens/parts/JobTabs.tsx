import { TabBar } from "../../components/TabBar";
import type { JobView } from "../../queries/job";
import { t } from "../../text";
import { isOver } from "./issue-words";

/** The five places of a job. Leave is where a visit is closed. */
export function JobTabs({ view, here }: { view: JobView; here: string }) {
  const base = `/job/${view.job.id}`;
  const open = view.issues.filter((issue) => !isOver(issue)).length;
  return (
    <TabBar
      here={here}
      label={t("tabs.label")}
      tabs={[
        { href: base, word: t("tabs.job") },
        { href: `${base}/round`, word: t("tabs.round") },
        { href: `${base}/checks`, word: t("tabs.checks") },
        { href: `${base}/issues`, word: t("tabs.issues"), count: open },
        { href: `${base}/leave`, word: t("tabs.leave") },
      ]}
    />
  );
}
