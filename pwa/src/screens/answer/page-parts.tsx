import { Button, ButtonLink } from "../../components/Button";
import { Notice } from "../../components/Notice";
import type { IssueRow, JobRow } from "../../local/rows";
import { t } from "../../text";

export function AnswerButton({ issue }: { issue: IssueRow }) {
  return (
    <ButtonLink kind="primary" href={`/answer/issue/${issue.id}`}>
      {issue.number === null
        ? t("answer.button_new")
        : t("answer.button", { number: issue.number })}
    </ButtonLink>
  );
}

export function LinkEnded({ company }: { company: string }) {
  return (
    <Notice kind="bad">
      <p>
        <b>{t("answer.link_ended")}</b>
      </p>
      <p>{t("answer.link_ended_hint", { company })}</p>
    </Notice>
  );
}

export function PageEnd({ job }: { job: JobRow }) {
  return (
    <>
      <p class="quiet-text answer-hint">{t("answer.safety")}</p>
      {job.invented && <p class="quiet-text">{t("common.invented")}</p>}
      <div class="answer-print">
        <Button kind="quiet" onPress={() => print()}>
          {t("answer.print")}
        </Button>
      </div>
    </>
  );
}
