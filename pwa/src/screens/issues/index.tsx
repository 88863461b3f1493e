import { useState } from "preact/hooks";
import { ButtonLink } from "../../components/Button";
import { Choice } from "../../components/Choice";
import { EmptyState } from "../../components/EmptyState";
import { Screen } from "../../components/Screen";
import { TopBar } from "../../components/TopBar";
import type { IssueRow } from "../../local/rows";
import type { JobView } from "../../queries/job";
import { usePlan } from "../../queries/plan";
import { t } from "../../text";
import { IssueLink } from "../parts/IssueLink";
import { markInvented } from "../parts/invented";
import { byWhatTheyStop, isOver } from "../parts/issue-words";
import { JobGate } from "../parts/JobGate";
import { JobTabs } from "../parts/JobTabs";
import { LiveSync } from "../parts/LiveSync";

const SHOWN = ["open", "to_prove", "over"] as const;
type Shown = (typeof SHOWN)[number];

export function shownAs(issue: IssueRow): Shown {
  if (isOver(issue)) return "over";
  return issue.state === "answered" ? "to_prove" : "open";
}

export default function Issues({ id }: { id: string }) {
  return (
    <JobGate id={id} back={`/job/${id}`}>
      {(view) => <List view={view} />}
    </JobGate>
  );
}

function List({ view }: { view: JobView }) {
  const plan = usePlan(view.job.id).value;
  const [show, setShow] = useState<Shown>("open");
  const of = (some: Shown) => view.issues.filter((issue) => shownAs(issue) === some);
  const listed = of(show).sort(byWhatTheyStop(plan));
  return (
    <Screen
      name={t("issues.title")}
      top={
        <TopBar
          title={t("issues.title")}
          under={markInvented(view.job.name, view)}
          back={`/job/${view.job.id}`}
        />
      }
      bottom={
        <>
          <ButtonLink kind="primary" icon="camera" href={`/job/${view.job.id}/log`}>
            {t("job.log")}
          </ButtonLink>
          <JobTabs view={view} here={`/job/${view.job.id}/issues`} />
        </>
      }
    >
      <LiveSync />
      <Choice
        label={t("issues.show")}
        labelled="spoken"
        value={show}
        onPick={setShow}
        options={SHOWN.map((value) => ({
          value,
          label: t(`issues.${value}`, { count: of(value).length }),
        }))}
      />
      {listed.length === 0 && (
        <EmptyState title={t(`issues.none_${show}`)}>
          <p>{t(`issues.none_${show}_hint`)}</p>
        </EmptyState>
      )}
      {listed.map((issue) => (
        <IssueLink key={issue.id} view={view} issue={issue} plan={plan} />
      ))}
    </Screen>
  );
}
