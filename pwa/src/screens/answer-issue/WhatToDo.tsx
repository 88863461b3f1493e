import { Caution } from "../../components/Caution";
import { StateWord } from "../../components/StateShape";
import type { IssueRow } from "../../local/rows";
import { hasText, t } from "../../text";
import { stopsWords } from "../answer/issue-words";

type Props = { issue: IssueRow; cautions: readonly string[] };

/** The caution stands with the work, before the answer. */
export function WhatToDo({ issue, cautions }: Props) {
  const stops = stopsWords(issue);
  return (
    <section class="stack">
      <dl class="answer-facts">
        {issue.action && (
          <>
            <dt>{t("answer_issue.what_to_do")}</dt>
            <dd>{issue.action}</dd>
          </>
        )}
        {issue.evidence && (
          <>
            <dt>{t("answer_issue.evidence")}</dt>
            <dd>{issue.evidence}</dd>
          </>
        )}
      </dl>
      {stops && <StateWord state="gated">{stops}</StateWord>}
      {issue.opens_circuit && <p>{t("answer_issue.opens_circuit")}</p>}
      {cautions.filter(hasText).map((code) => (
        <Caution key={code} place="alone">
          {t(code)}
        </Caution>
      ))}
    </section>
  );
}
