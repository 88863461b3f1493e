import { EmptyState } from "../../components/EmptyState";
import { useCautions } from "../../queries/cautions";
import type { JobView } from "../../queries/job";
import { t } from "../../text";
import type { JobPlan } from "../../trade/types";
import type { AnswerList } from "./answer-list";
import { IssueList } from "./IssueList";
import { OwnSteps } from "./OwnSteps";

type Props = { list: AnswerList; plan: JobPlan | undefined; view: JobView; now: number };

/** What is to do, then the contractor's own steps, then what is answered, then what is over. */
export function IssueLists({ list, plan, view, now }: Props) {
  const { open, answered, closed } = list;
  const shared = { view, now, cautions: useCautions().value };
  return (
    <>
      {open.length === 0 && (
        <EmptyState title={t("answer.nothing_open")}>
          <p>{t("answer.nothing_open_hint")}</p>
        </EmptyState>
      )}
      <IssueList
        title={t("answer.before_return_count", { count: open.length })}
        issues={open}
        detail="work"
        {...shared}
      />
      {plan && <OwnSteps plan={plan} view={view} />}
      <IssueList
        title={t("answer.answered_title", { count: answered.length })}
        issues={answered}
        detail="state"
        {...shared}
      />
      <IssueList
        title={t("answer.closed_title", { count: closed.length })}
        issues={closed}
        detail="state"
        {...shared}
      />
    </>
  );
}
