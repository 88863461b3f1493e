import { useState } from "preact/hooks";
import { useLocation, useRoute } from "preact-iso/router";
import { ButtonLink } from "../../components/Button";
import { Choice } from "../../components/Choice";
import { Screen } from "../../components/Screen";
import { Skeleton } from "../../components/Skeleton";
import { StepLine } from "../../components/StepLine";
import { TopBar } from "../../components/TopBar";
import type { JobView } from "../../queries/job";
import { useNow } from "../../queries/now";
import { usePlan } from "../../queries/plan";
import { t } from "../../text";
import { calledOffWords } from "../parts/called-off";
import { Headline } from "../parts/Headline";
import { markInvented } from "../parts/invented";
import { JobGate } from "../parts/JobGate";
import { JobTabs } from "../parts/JobTabs";
import { LiveSync } from "../parts/LiveSync";
import { headlineWords } from "../parts/plan-words";
import { currentVisit, wordsFor } from "../parts/unit-words";
import { lineGroups } from "./line";
import { StepSheet } from "./StepSheet";

export default function Job({ id }: { id: string }) {
  return (
    <JobGate id={id} back="/">
      {(view) => <Line view={view} />}
    </JobGate>
  );
}

function underTitle(view: JobView, { now_s }: { now_s: number }): string {
  const visit = currentVisit(view);
  if (visit) return wordsFor("purpose", visit.purpose);
  const zone = view.job.time_zone;
  return calledOffWords(view.visits, { zone, now_s }) ?? t("job.no_visit");
}

/** Which system is shown stands in the address, so that back comes back to it. */
function useSystem(view: JobView) {
  const { query } = useRoute();
  const { route } = useLocation();
  const shown = view.systems.find((system) => system.id === query.system) ?? view.systems[0];
  const show = (id: string) => route(`/job/${view.job.id}?system=${id}`, true);
  return { shown, show };
}

function Line({ view }: { view: JobView }) {
  const { job } = view;
  const plan = usePlan(job.id).value;
  const now_s = useNow().value;
  const { shown, show } = useSystem(view);
  const [openStep, setOpenStep] = useState<string | null>(null);
  const group = plan?.groups.find((one) => one.id === openStep);
  return (
    <Screen
      name={job.name}
      top={
        <TopBar
          title={job.name}
          under={markInvented(underTitle(view, { now_s }), { job })}
          back="/"
          you="shown"
        />
      }
      bottom={
        <>
          <ButtonLink kind="primary" icon="camera" href={`/job/${job.id}/log`}>
            {t("job.log")}
          </ButtonLink>
          <JobTabs view={view} here={`/job/${job.id}`} />
        </>
      }
    >
      <LiveSync />
      {plan && (
        <Headline
          words={headlineWords({ view, plan })}
          issueId={plan.headline.issue_id}
          jobId={job.id}
        />
      )}
      {view.systems.length > 1 && (
        <Choice
          label={t("job.system")}
          labelled="spoken"
          value={shown?.id ?? null}
          onPick={show}
          options={view.systems.map((system) => ({
            value: system.id,
            label: t("job.system_tag", { tag: system.tag }),
            hint: wordsFor("system_kind", system.kind),
          }))}
        />
      )}
      {plan ? (
        <StepLine
          groups={lineGroups(shown?.id ?? null, { view, plan, now_s })}
          onOpen={setOpenStep}
        />
      ) : (
        <Skeleton />
      )}
      {plan && group && (
        <StepSheet view={view} plan={plan} group={group} onClose={() => setOpenStep(null)} />
      )}
    </Screen>
  );
}
