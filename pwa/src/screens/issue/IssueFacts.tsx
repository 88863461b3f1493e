import { formatDay, formatDayTime } from "../../format/time";
import { t } from "../../text";
import { issueTitle } from "../parts/issue-words";
import { wordsFor } from "../parts/unit-words";
import type { OfIssue } from "./index";

function rowsOf({ view, issue }: OfIssue): [string, string | null][] {
  const zone = { zone: view.job.time_zone };
  const unit = issue.unit_id ? view.unitById.get(issue.unit_id) : undefined;
  return [
    [t("issue.unit"), unit?.tag ?? null],
    [t("issue.category"), wordsFor("category", issue.category)],
    [t("issue.who"), wordsFor("who", issue.who_must_act)],
    [t("issue.due"), issue.due_on && formatDay(issue.due_on, zone)],
    [t("issue.promised"), issue.promised_on && formatDay(issue.promised_on, zone)],
    [t("issue.raised"), `${formatDayTime(issue.raised_at, zone)}, ${issue.raised_by_name}`],
    [t("issue.reopened"), issue.times_reopened > 0 ? String(issue.times_reopened) : null],
    [t("issue.proved_by"), issue.proved_by_name],
    [t("issue.accepted_by"), issue.accepted_by_name],
    [t("issue.accepted_why"), issue.accepted_reason],
  ];
}

/** The words, what to do, what proof is wanted, and the facts. */
export function IssueFacts(of: OfIssue) {
  const { issue } = of;
  return (
    <section class="stack">
      {issue.words.trim() !== issueTitle(issue) && <p>{issue.words}</p>}
      {issue.action && (
        <p>
          <b>{t("issue.to_do")}</b> {issue.action}
        </p>
      )}
      {issue.evidence && (
        <p>
          <b>{t("issue.proof")}</b> {issue.evidence}
        </p>
      )}
      <dl class="facts">
        {rowsOf(of).map(
          ([name, value]) =>
            value && (
              <div key={name} class="fact">
                <dt>{name}</dt>
                <dd>{value}</dd>
              </div>
            ),
        )}
      </dl>
    </section>
  );
}
