import { useState } from "preact/hooks";
import { ButtonLink } from "../../components/Button";
import { Screen } from "../../components/Screen";
import { TopBar } from "../../components/TopBar";
import type { UnitRow } from "../../local/rows";
import type { JobView } from "../../queries/job";
import { t } from "../../text";
import { UnitChecks } from "../check/CheckLinks";
import { IssueLink } from "../parts/IssueLink";
import { JobGate, NotHere } from "../parts/JobGate";
import { LiveBegun } from "../parts/LiveBegun";
import { LiveSync } from "../parts/LiveSync";
import { placeOf, wordsFor } from "../parts/unit-words";
import { Facts } from "./Facts";
import { Photos } from "./Photos";
import { Readings } from "./Readings";
import { UnitSteps } from "./UnitSteps";

export default function Unit({ id, unit }: { id: string; unit: string }) {
  const back = `/job/${id}/round`;
  return (
    <JobGate id={id} back={back}>
      {(view) => {
        const shown = view.unitById.get(unit);
        return shown ? <OneUnit view={view} unit={shown} /> : <NotHere back={back} />;
      }}
    </JobGate>
  );
}

type Props = { view: JobView; unit: UnitRow };

function OneUnit({ view, unit }: Props) {
  const issues = view.issuesByUnit.get(unit.id) ?? [];
  const [round, setRound] = useState(0);
  return (
    <Screen
      name={unit.tag}
      top={
        <TopBar
          title={unit.tag}
          under={`${wordsFor("kind", unit.kind)} · ${placeOf(unit)}`}
          back={`/job/${view.job.id}/round`}
        />
      }
      bottom={
        <ButtonLink kind="primary" icon="camera" href={`/job/${view.job.id}/log?unit=${unit.id}`}>
          {t("unit.log_here")}
        </ButtonLink>
      }
    >
      <LiveSync />
      <LiveBegun unitId={unit.id} />
      <UnitSteps view={view} unit={unit} />
      <UnitChecks view={view} unit={unit} />
      {issues.length > 0 && (
        <section>
          <h2 class="section-title">{t("unit.issues", { count: issues.length })}</h2>
          {issues.map((issue) => (
            <IssueLink key={issue.id} view={view} issue={issue} plan={undefined} />
          ))}
        </section>
      )}
      <Readings view={view} unit={unit} />
      <Facts view={view} unit={unit} />
      <Photos key={round} view={view} unit={unit} onSavedAgain={() => setRound(round + 1)} />
    </Screen>
  );
}
