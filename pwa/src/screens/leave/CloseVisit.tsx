import { useState } from "preact/hooks";
import { Button } from "../../components/Button";
import { Notice } from "../../components/Notice";
import { PlanChart, readyWords } from "../../components/PlanChart";
import { Screen } from "../../components/Screen";
import { Sheet } from "../../components/Sheet";
import { type State, StateShape } from "../../components/StateShape";
import { TextArea } from "../../components/TextField";
import { TopBar } from "../../components/TopBar";
import { daysFrom, formatDay } from "../../format/time";
import type { VisitRow } from "../../local/rows";
import { useBegun } from "../../queries/begun";
import { useChance, withChance } from "../../queries/chance";
import type { JobView } from "../../queries/job";
import { t } from "../../text";
import type { JobPlan } from "../../trade/types";
import { IssueLink } from "../parts/IssueLink";
import { JobTabs } from "../parts/JobTabs";
import { LiveSync } from "../parts/LiveSync";
import { workName } from "../parts/plan-words";
import { SureSource } from "../parts/SureSource";
import { wordsFor } from "../parts/unit-words";
import { doneToday, type Line, notDone } from "./summary";
import { useClosing } from "./useClosing";

export type OfVisit = { view: JobView; plan: JobPlan; visit: VisitRow };

type LinesProps = { title: string; lines: Line[]; shape: (line: Line) => State };

function Lines({ title, lines, shape }: LinesProps) {
  if (lines.length === 0) return null;
  return (
    <section>
      <h2 class="section-title">{title}</h2>
      <ul>
        {lines.map((line) => (
          <li key={line.id} class="unit-row">
            <StateShape state={shape(line)} />
            <span class="unit-row-words">
              <b>{line.name}</b>
              {line.words && <span class="quiet-text block">{line.words}</span>}
            </span>
          </li>
        ))}
      </ul>
    </section>
  );
}

function ReturnPlan({ view, plan }: Omit<OfVisit, "visit">) {
  const zone = view.job.time_zone;
  const now_s = Date.now() / 1000;
  const chance = useChance(view.job.id).value;
  const sure = withChance(plan, chance);
  const nameOf = (id: string) => workName(id, { view, plan });
  return (
    <section class="plan-card stack">
      <h2>{t("leave.return")}</h2>
      <PlanChart plan={sure} zone={zone} now_s={now_s} nameOf={nameOf} />
      <p>{readyWords(sure, { zone, now_s })}</p>
      <SureSource chance={chance} />
    </section>
  );
}

/** Closing a visit of another day is possible, but never by a slip. */
function OtherDay({ view, visit }: Omit<OfVisit, "plan">) {
  const zone = view.job.time_zone;
  const days = daysFrom(visit.starts_at, { to: Date.now() / 1000, zone });
  if (days >= 0) return null;
  return (
    <Notice kind="doubt">
      {t("leave.not_yet", { day: formatDay(visit.starts_at, { zone }) })}
    </Notice>
  );
}

function Raised({ view, plan, visit }: OfVisit) {
  const raised = view.issues.filter((issue) => issue.visit_id === visit.id);
  if (raised.length === 0) return null;
  return (
    <section>
      <h2 class="section-title">{t("leave.raised", { count: raised.length })}</h2>
      {raised.map((issue) => (
        <IssueLink key={issue.id} view={view} issue={issue} plan={plan} />
      ))}
    </section>
  );
}

function Top({ view, visit }: Omit<OfVisit, "plan">) {
  const day = formatDay(visit.starts_at, { zone: view.job.time_zone });
  return (
    <TopBar
      title={t("leave.title")}
      under={`${wordsFor("purpose", visit.purpose)}, ${day}`}
      back={`/job/${view.job.id}`}
    />
  );
}

/** What somebody began here and forgot is said before they leave: the office does not get it. */
function StillBegun({ jobId }: { jobId: string }) {
  const begun = (useBegun().value ?? []).filter((one) => one.job_id === jobId);
  if (begun.length === 0) return null;
  return <Notice kind="doubt">{t("begun.count", { count: begun.length })}</Notice>;
}

type SureProps = { closing: ReturnType<typeof useClosing>; visit: VisitRow; view: JobView };

/** A closed visit stays closed, and its button lies where a thumb may slip: it is asked once more. */
function Sure({ closing, onClose, ...of }: SureProps & { onClose: () => void }) {
  return (
    <Sheet
      title={t("leave.sure")}
      under={t("leave.what_happens")}
      onClose={onClose}
      bottom={
        <Button kind="primary" notYet={closing.notYet} onPress={() => void closing.close()}>
          {t("leave.close")}
        </Button>
      }
    >
      <OtherDay {...of} />
      <StillBegun jobId={of.view.job.id} />
      {closing.trouble && (
        <Notice kind="bad" urgency="now">
          {closing.trouble}
        </Notice>
      )}
    </Sheet>
  );
}

/** What was done, what was not and why, what was raised; then the visit is closed. */
export function CloseVisit(of: OfVisit) {
  const { view, visit } = of;
  const closing = useClosing(of);
  const left = notDone(of);
  const [sheet, setSheet] = useState<"closed" | "open">("closed");
  return (
    <Screen
      name={t("leave.title")}
      top={<Top view={view} visit={visit} />}
      bottom={
        <>
          <Button kind="primary" onPress={() => setSheet("open")}>
            {t("leave.close")}
          </Button>
          <JobTabs view={view} here={`/job/${view.job.id}/leave`} />
        </>
      }
    >
      <LiveSync />
      <OtherDay view={view} visit={visit} />
      <ReturnPlan {...of} />
      <Lines title={t("leave.done")} lines={doneToday(visit, of)} shape={() => "done"} />
      <Lines
        title={t("leave.not_done")}
        lines={left}
        shape={(line) => left.find((one) => one.id === line.id)?.shape ?? "todo"}
      />
      <Raised {...of} />
      <TextArea
        label={t("leave.note")}
        hint={t("leave.note_hint")}
        value={closing.note}
        onInput={closing.write}
      />
      {sheet === "open" && (
        <Sure view={view} visit={visit} closing={closing} onClose={() => setSheet("closed")} />
      )}
    </Screen>
  );
}
