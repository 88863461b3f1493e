import { Button, ButtonLink } from "../../components/Button";
import { Notice } from "../../components/Notice";
import { Screen } from "../../components/Screen";
import { TopBar } from "../../components/TopBar";
import type { JobView } from "../../queries/job";
import { usePlan } from "../../queries/plan";
import { t } from "../../text";
import { Headline } from "../parts/Headline";
import { IssueLink } from "../parts/IssueLink";
import { markInvented } from "../parts/invented";
import { issueTitle, stoppedCount } from "../parts/issue-words";
import { LiveSync } from "../parts/LiveSync";
import { headlineWords } from "../parts/plan-words";

type Props = {
  view: JobView;
  issueId: string;
  unitId: string | null;
  /** A further photo that could not be saved; the issue is. */
  trouble: string | undefined;
  onAnother: () => void;
};

/** Saved: what it stops now, and what can still be done. */
export function Saved({ view, issueId, unitId, trouble, onAnother }: Props) {
  const plan = usePlan(view.job.id).value;
  const issue = view.issueById.get(issueId);
  const count = stoppedCount(issueId, { plan });
  const base = `/job/${view.job.id}`;
  return (
    <Screen
      name={t("log.saved_title")}
      top={
        <TopBar
          title={t("log.saved_title")}
          under={markInvented(view.job.name, view)}
          back={base}
        />
      }
      bottom={
        <div class="stack">
          <ButtonLink kind="primary" href={base}>
            {t("log.to_line")}
          </ButtonLink>
          <div class="actions">
            {unitId && <ButtonLink href={`${base}/unit/${unitId}`}>{t("log.to_unit")}</ButtonLink>}
            <Button onPress={onAnother}>{t("log.another")}</Button>
          </div>
        </div>
      }
    >
      <Notice kind="good">
        <p>
          <b>{t("sync.saved")}</b> {issue && issueTitle(issue)}
        </p>
        <p>{count > 0 ? t("log.stops_now", { count }) : t("log.stops_nothing_now")}</p>
      </Notice>
      {trouble && (
        <Notice kind="bad" urgency="now">
          {trouble}
        </Notice>
      )}
      <LiveSync says="waits" />
      {plan && (
        <Headline
          words={headlineWords({ view, plan })}
          issueId={plan.headline.issue_id}
          jobId={view.job.id}
        />
      )}
      {issue && <IssueLink view={view} issue={issue} plan={plan} />}
    </Screen>
  );
}
