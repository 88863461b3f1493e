import type { IssueRow } from "../../local/rows";
import { t } from "../../text";
import { issueTitle } from "../parts/issue-words";

/** "4 · Flare weeps at the liquid line" */
export function issueLine(issue: IssueRow): string {
  const words = issueTitle(issue);
  if (issue.number === null) return t("office.issue_new", { words });
  return t("office.issue", { number: issue.number, words });
}
