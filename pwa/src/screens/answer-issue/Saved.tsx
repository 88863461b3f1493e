import { Button, ButtonLink } from "../../components/Button";
import { Notice } from "../../components/Notice";
import type { IssueRow } from "../../local/rows";
import type { JobView } from "../../queries/job";
import { usePlan } from "../../queries/plan";
import { useSync } from "../../queries/sync";
import { t } from "../../text";
import { answerList } from "../answer/answer-list";
import { saidOf } from "./said";

type Props = { view: JobView; issue: IssueRow; onAgain: () => void };

/** Saved on this phone at once; the same notice turns to Sent when the server has it. */
export function Saved({ view, issue, onAgain }: Props) {
  const sync = useSync().value;
  const plan = usePlan(view.job.id).value;
  const said = saidOf(sync);
  const next = answerList(view, { plan }).open.find(
    (one) => one.id !== issue.id && !one.promised_on,
  );
  return (
    <section class="stack">
      <Notice kind={said.kind} urgency="now">
        <p>
          <b>{said.title}</b>
        </p>
        <p>{said.hint}</p>
      </Notice>
      <div class="actions">
        {next?.number && (
          <ButtonLink kind="primary" href={`/answer/issue/${next.id}`}>
            {t("answer_issue.next", { number: next.number })}
          </ButtonLink>
        )}
        <ButtonLink href="/answer">{t("answer_issue.back")}</ButtonLink>
        <Button kind="quiet" onPress={onAgain}>
          {t("answer_issue.again")}
        </Button>
      </div>
    </section>
  );
}
