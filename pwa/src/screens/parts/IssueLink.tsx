import { IssueCard } from "../../components/IssueCard";
import type { IssueRow } from "../../local/rows";
import type { JobView } from "../../queries/job";
import { t } from "../../text";
import type { JobPlan } from "../../trade/types";
import { issueStateWords, issueTitle, issueWhere, stoppedCount } from "./issue-words";
import { StoredThumb } from "./StoredPhoto";

type Props = { view: JobView; issue: IssueRow; plan: JobPlan | undefined };

/** An issue in a list: picture, place, what is wrong, what it stops, how it stands. */
export function IssueLink({ view, issue, plan }: Props) {
  const photo = view.photosByIssue.get(issue.id)?.[0];
  const title = issueTitle(issue);
  const count = stoppedCount(issue.id, { plan });
  return (
    <IssueCard
      href={`/job/${view.job.id}/issue/${issue.id}`}
      where={issueWhere(issue, { view })}
      title={title}
      state={issue.state}
      stateWords={issueStateWords(issue, { view })}
      {...(count > 0 ? { stops: t("issue.stops_count", { count }) } : {})}
      photo={photo && <StoredThumb photo={photo} alt={t("photo.of_issue", { number: 1, title })} />}
    />
  );
}
