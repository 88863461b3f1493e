import { Button } from "../../components/Button";
import type { IssueRow } from "../../local/rows";
import { session } from "../../local/session";
import { t } from "../../text";
import { isOver } from "../parts/issue-words";
import type { IssueAct } from "./index";

type Props = { issue: IssueRow; onAct: (act: IssueAct) => void };

/** Proving is for someone other than the person who fixed it. */
function ownFix(issue: IssueRow): string | undefined {
  return issue.answered_by_name === session.value?.name ? t("issue.own_fix") : undefined;
}

function ToProve({ issue, onAct }: Props) {
  const blocked = ownFix(issue);
  return (
    <>
      {blocked && <p>{blocked}</p>}
      <Button kind="primary" notYet={blocked} onPress={() => onAct("prove")}>
        {t("issue.prove")}
      </Button>
      <div class="actions">
        <Button onPress={() => onAct("send_back")}>{t("issue.send_back")}</Button>
        <Button kind="quiet" onPress={() => onAct("accept")}>
          {t("issue.accept")}
        </Button>
      </div>
    </>
  );
}

function ToFix({ onAct }: Props) {
  return (
    <>
      <Button kind="primary" onPress={() => onAct("answer")}>
        {t("issue.answer")}
      </Button>
      <div class="actions">
        <Button onPress={() => onAct("change")}>{t("issue.change")}</Button>
        <Button kind="quiet" onPress={() => onAct("accept")}>
          {t("issue.accept")}
        </Button>
      </div>
    </>
  );
}

/** What can be done with an issue as it stands. */
export function Actions(props: Props) {
  if (isOver(props.issue)) {
    return <Button onPress={() => props.onAct("send_back")}>{t("issue.reopen")}</Button>;
  }
  return props.issue.state === "answered" ? <ToProve {...props} /> : <ToFix {...props} />;
}
