import "./answer.css";
import "../../text/contractor";
import { Button } from "../../components/Button";
import { Screen } from "../../components/Screen";
import { Skeleton } from "../../components/Skeleton";
import { TopBar } from "../../components/TopBar";
import { session } from "../../local/session";
import { t } from "../../text";
import { LiveLost } from "../parts/LiveLost";
import { AnswerPage } from "./AnswerPage";
import { LinkProblem, troubleOf } from "./LinkProblem";
import { useOpening } from "./opening";

/** A contractor's way in: no account, one job, and after the first opening no network either. */
export default function Answer() {
  const { opening, again, leave } = useOpening();
  const who = session.value;
  if (opening === "none" && who?.as === "link" && who.job_id) {
    return <AnswerPage who={who} jobId={who.job_id} />;
  }
  return (
    <Screen name={t("answer.before_return")} top={<TopBar title="flarenut" />}>
      {opening === "busy" ? (
        <>
          <p>
            <b>{t("answer.opening")}</b>
          </p>
          <p class="quiet-text">{t("answer.opening_hint")}</p>
          <Skeleton />
        </>
      ) : (
        <>
          <LiveLost />
          <LinkProblem
            trouble={troubleOf(opening)}
            {...(opening === "offline" ? { onAgain: again } : {})}
          />
          {who?.as === "link" && <Button onPress={leave}>{t("answer.other_link")}</Button>}
        </>
      )}
    </Screen>
  );
}
