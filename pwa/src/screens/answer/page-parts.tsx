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

/** `link_again`: nobody had used it for hours, and it still opens. */
export type LinkStanding = "live" | "link_ended" | "link_again";

type Resting = { standing: Exclude<LinkStanding, "live">; company: string };

export function LinkRests({ standing, company }: Resting) {
  return (
    <Notice kind={standing === "link_ended" ? "bad" : "doubt"}>
      <p>
        <b>{t(`answer.${standing}`)}</b>
      </p>
      <p>{t(`answer.${standing}_hint`, { company })}</p>
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
