import { StateShape } from "../../components/StateShape";
import { daysFrom, formatDay } from "../../format";
import type { IssueRow } from "../../local/rows";
import type { JobView } from "../../queries/job";
import { t } from "../../text";
import { isOver } from "../parts/issue-words";
import { placeOf } from "../parts/unit-words";
import { issueLine } from "./issue-line";

type Props = { view: JobView; now: number };

/** All issues of the job, the ones that still need someone first. */
export function IssueTable({ view, now }: Props) {
  const open = view.issues.filter((issue) => !isOver(issue));
  const over = view.issues.filter(isOver);
  return (
    <section>
      <h2 class="section-title">{t("office.issues", { count: open.length })}</h2>
      {view.issues.length === 0 && <p class="office-none">{t("office.issues_none")}</p>}
      <List issues={open} view={view} now={now} />
      {over.length > 0 && (
        <details class="office-over">
          <summary>{t("office.issue_closed", { count: over.length })}</summary>
          <List issues={over} view={view} now={now} />
        </details>
      )}
    </section>
  );
}

function List({ issues, view, now }: Props & { issues: IssueRow[] }) {
  return (
    <ul>
      {issues.map((issue) => (
        <li key={issue.id}>
          <a class="office-issue" href={`/job/${view.job.id}/issue/${issue.id}`}>
            <StateShape state={issue.state} says="shape" />
            <span>
              <b>{issueLine(issue)}</b>
              <span class="quiet-text office-issue-under">{underWords(issue, { view, now })}</span>
            </span>
          </a>
        </li>
      ))}
    </ul>
  );
}

function promiseWords(issue: IssueRow, { view, now }: Props): string | null {
  if (!issue.promised_on || issue.state === "answered" || isOver(issue)) return null;
  const zone = view.job.time_zone;
  const day = formatDay(issue.promised_on, { zone });
  const isLate = daysFrom(issue.promised_on, { to: now, zone }) > 0;
  return t(isLate ? "office.issue_late" : "office.issue_promised", { day });
}

function underWords(issue: IssueRow, context: Props): string {
  const unit = issue.unit_id ? context.view.unitById.get(issue.unit_id) : undefined;
  const parts = [
    t(`state.${issue.state}`),
    promiseWords(issue, context),
    t(`who.${issue.who_must_act}`),
    unit?.tag,
    unit && placeOf(unit),
  ];
  return parts.filter(Boolean).join(" · ");
}
