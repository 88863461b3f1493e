import { useState } from "preact/hooks";
import { Screen } from "../../components/Screen";
import { StateWord } from "../../components/StateShape";
import { TopBar } from "../../components/TopBar";
import type { IssueRow } from "../../local/rows";
import type { JobView } from "../../queries/job";
import { usePlan } from "../../queries/plan";
import { t } from "../../text";
import {
  issueRef,
  issueStateWords,
  issueTitle,
  issueWhere,
  sidesWords,
  stoppedCount,
} from "../parts/issue-words";
import { JobGate, NotHere } from "../parts/JobGate";
import { LiveSync } from "../parts/LiveSync";
import { StoredPhoto } from "../parts/StoredPhoto";
import { TwoValuesNotice } from "../parts/TwoValuesNotice";
import { Actions } from "./Actions";
import { AnswerSheet } from "./AnswerSheet";
import { ChangeSheet } from "./ChangeSheet";
import { AcceptSheet, ProveSheet, SendBackSheet } from "./CloseSheets";
import { History } from "./History";
import { IssueFacts } from "./IssueFacts";

export type IssueAct = "answer" | "prove" | "send_back" | "accept" | "change";

export default function Issue({ id, issue }: { id: string; issue: string }) {
  const back = `/job/${id}/issues`;
  return (
    <JobGate id={id} back={back}>
      {(view) => {
        const shown = view.issueById.get(issue);
        return shown ? <OneIssue view={view} issue={shown} /> : <NotHere back={back} />;
      }}
    </JobGate>
  );
}

export type OfIssue = { view: JobView; issue: IssueRow };

const SHEETS = {
  answer: AnswerSheet,
  prove: ProveSheet,
  send_back: SendBackSheet,
  accept: AcceptSheet,
  change: ChangeSheet,
};

function Photos({ view, issue }: OfIssue) {
  const photos = view.photosByIssue.get(issue.id) ?? [];
  if (photos.length === 0) return <p class="quiet-text">{t("issue.no_photo")}</p>;
  const title = issueTitle(issue);
  return (
    <div class="photo-strip">
      {photos.map((photo, index) => (
        <StoredPhoto
          key={photo.id}
          photo={photo}
          alt={t("photo.of_issue", { number: index + 1, title })}
        />
      ))}
    </div>
  );
}

function WhatItStops({ view, issue }: OfIssue) {
  const plan = usePlan(view.job.id).value;
  const count = stoppedCount(issue.id, { plan });
  if (count === 0 || issue.stops.length === 0) return null;
  return (
    <section class="headline">
      <h2>{t("issue.stops_now", { sides: sidesWords(issue), count })}</h2>
      {issue.opens_circuit && <p>{t("headline.resets")}</p>}
    </section>
  );
}

function OneIssue({ view, issue }: OfIssue) {
  const [act, setAct] = useState<IssueAct>();
  const Open = act && SHEETS[act];
  return (
    <Screen
      name={issueRef(issue)}
      top={
        <TopBar
          title={issueRef(issue)}
          under={issueWhere(issue, { view }).split(" · ").slice(1).join(" · ")}
          back={`/job/${view.job.id}/issues`}
        />
      }
      bottom={<Actions view={view} issue={issue} onAct={setAct} />}
    >
      <LiveSync />
      <TwoValuesNotice rows={[issue]} />
      <h2 class="issue-title">{issueTitle(issue)}</h2>
      <StateWord state={issue.state}>{issueStateWords(issue, { view })}</StateWord>
      <Photos view={view} issue={issue} />
      <WhatItStops view={view} issue={issue} />
      <IssueFacts view={view} issue={issue} />
      <History view={view} issue={issue} />
      {Open && <Open view={view} issue={issue} onClose={() => setAct(undefined)} />}
    </Screen>
  );
}
