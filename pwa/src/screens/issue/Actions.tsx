import { Button } from "../../components/Button";
import { session } from "../../local/session";
import { t } from "../../text";
import { isOver } from "../parts/issue-words";
import type { IssueAct, OfIssue } from "./index";
import { isFixer } from "./own-fix";

type Props = OfIssue & { onAct: (act: IssueAct) => void };

/** Proving is for someone other than the person who fixed it. */
function ownFix({ view, issue }: OfIssue): string | undefined {
  const events = view.eventsByIssue.get(issue.id) ?? [];
  const personId = session.value?.principal_id;
  return isFixer(events, { personId }) ? t("issue.own_fix") : undefined;
}

function ToProve({ onAct, ...of }: Props) {
  const blocked = ownFix(of);
  return (
    <>
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
