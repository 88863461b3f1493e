import { Caution } from "../../components/Caution";
import { IssueCard } from "../../components/IssueCard";
import type { IssueRow } from "../../local/rows";
import type { Cautions } from "../../queries/cautions";
import type { JobView } from "../../queries/job";
import { hasText, t } from "../../text";
import { issueTitle } from "../parts/issue-words";
import { StoredThumb } from "../parts/StoredPhoto";
import { evidenceWords, sentBackWords, stateWords, stopsWords, whereWords } from "./issue-words";

type Props = {
  title: string;
  issues: IssueRow[];
  view: JobView;
  now: number;
  cautions: Cautions;
  /** Work that is still to do shows its caution and what proof is wanted; what is over does not. */
  detail: "work" | "state";
};

export function IssueList({ title, issues, ...shared }: Props) {
  if (issues.length === 0) return null;
  return (
    <section>
      <h2 class="section-title">{title}</h2>
      <ul>
        {issues.map((issue) => (
          <li key={issue.id} class="answer-issue">
            <Card issue={issue} {...shared} />
          </li>
        ))}
      </ul>
    </section>
  );
}

function Card({
  issue,
  view,
  now,
  cautions,
  detail,
}: Omit<Props, "title" | "issues"> & { issue: IssueRow }) {
  const zone = view.job.time_zone;
  const sentBack = sentBackWords(issue, { view });
  const photo = view.photosByIssue.get(issue.id)?.[0];
  const caution = cautions.get(issue.category)?.[0];
  const title = issueTitle(issue);
  const isWork = detail === "work";
  const todo = [issue.action, evidenceWords(issue)].filter(Boolean).join(" ");
  const stops = isWork ? stopsWords(issue) : undefined;
  return (
    <>
      <IssueCard
        href={`/answer/issue/${issue.id}`}
        where={whereWords(issue, { view })}
        title={title}
        {...(isWork && todo ? { todo } : {})}
        {...(stops ? { stops } : {})}
        state={issue.state}
        stateWords={stateWords(issue, { zone, now, ...(sentBack ? { sentBack } : {}) })}
        photo={
          photo && <StoredThumb photo={photo} alt={t("photo.of_issue", { number: 1, title })} />
        }
      />
      {isWork && caution && hasText(caution) && <Caution place="alone">{t(caution)}</Caution>}
    </>
  );
}
