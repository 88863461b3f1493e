import { useState } from "preact/hooks";
import { Screen } from "../../components/Screen";
import { StateWord } from "../../components/StateShape";
import { TopBar } from "../../components/TopBar";
import type { IssueRow } from "../../local/rows";
import { useCautions } from "../../queries/cautions";
import type { JobView } from "../../queries/job";
import { useNow } from "../../queries/now";
import { t } from "../../text";
import { placeWords, sentBackWords, stateWords } from "../answer/issue-words";
import { History } from "../issue/History";
import { issueTitle } from "../parts/issue-words";
import { LiveSync } from "../parts/LiveSync";
import { AnswerForm } from "./AnswerForm";
import { IssuePhotos } from "./IssuePhotos";
import { Saved } from "./Saved";
import { WhatToDo } from "./WhatToDo";

type Props = { view: JobView; issue: IssueRow };

/** One issue for the contractor: what it is, what to do, and the answer, all on this phone first. */
export function AnswerIssuePage({ view, issue }: Props) {
  const [isSaved, setSaved] = useState(false);
  const now = useNow().value;
  const cautions = useCautions().value;
  const isOver = issue.state === "proved" || issue.state === "accepted";
  const sentBack = sentBackWords(issue, { view });
  const title =
    issue.number === null
      ? t("answer_issue.title_new")
      : t("answer_issue.title", { number: issue.number });
  return (
    <Screen
      name={title}
      top={<TopBar title={title} under={placeWords(issue, { view })} back="/answer" />}
    >
      <LiveSync />
      <h2 class="answer-issue-title">{issue.words}</h2>
      <StateWord state={issue.state}>
        {stateWords(issue, {
          zone: view.job.time_zone,
          now,
          ...(sentBack ? { sentBack } : {}),
        })}
      </StateWord>
      <IssuePhotos photos={view.photosByIssue.get(issue.id) ?? []} words={issueTitle(issue)} />
      <WhatToDo issue={issue} cautions={cautions.get(issue.category) ?? []} />
      {isSaved ? (
        <Saved view={view} issue={issue} onAgain={() => setSaved(false)} />
      ) : (
        !isOver && <AnswerForm view={view} issue={issue} now={now} onSaved={() => setSaved(true)} />
      )}
      <History view={view} issue={issue} />
    </Screen>
  );
}
