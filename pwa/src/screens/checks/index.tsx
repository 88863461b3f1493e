import "../../text/checks";
import { useLocation, useRoute } from "preact-iso/router";
import { ButtonLink } from "../../components/Button";
import { Choice } from "../../components/Choice";
import { Screen } from "../../components/Screen";
import { StateShape } from "../../components/StateShape";
import { TopBar } from "../../components/TopBar";
import type { SystemRow } from "../../local/rows";
import { useDrafts } from "../../queries/drafts";
import type { JobView } from "../../queries/job";
import { useNow } from "../../queries/now";
import { t } from "../../text";
import { GROUPS } from "../check/forms";
import { checkPath } from "../check/places";
import { markInvented } from "../parts/invented";
import { JobGate } from "../parts/JobGate";
import { JobTabs } from "../parts/JobTabs";
import { LiveSync } from "../parts/LiveSync";
import { wordsFor } from "../parts/unit-words";
import { RunningHolds } from "./RunningHolds";
import { type CheckLine, checkLines, needsOf } from "./standing";

/** Every check of a job in one list, grouped by what it belongs to. */
export default function Checks({ id }: { id: string }) {
  return (
    <JobGate id={id} back={`/job/${id}`}>
      {(view) => <List view={view} />}
    </JobGate>
  );
}

function useSystem(view: JobView) {
  const { query } = useRoute();
  const { route } = useLocation();
  const shown = view.systems.find((system) => system.id === query.system) ?? view.systems[0];
  const show = (id: string) => route(`/job/${view.job.id}/checks?system=${id}`, true);
  return { shown, show };
}

function Line({ line, view, system }: { line: CheckLine; view: JobView; system: SystemRow }) {
  const { row, unit, last, done, total, words } = line;
  return (
    <li>
      <a class="unit-row" href={checkPath(row, { view, system, unit, from: "checks" })}>
        <StateShape state={last ? (last.verdict ?? "figure") : "todo"} says="shape" />
        <span class="unit-row-words">
          <span class="unit-row-tag">{wordsFor("calculation", row.calculation)}</span>
          <span class="block">{words}</span>
          {!last && <span class="quiet-text block">{needsOf(row)}</span>}
        </span>
        {total > 1 && <span class="unit-row-end">{t("common.of", { done, total })}</span>}
      </a>
    </li>
  );
}

function OfSystem({ view, system }: { view: JobView; system: SystemRow }) {
  const drafts = useDrafts("check:").value ?? [];
  const at = { view, system, drafts, now: useNow().value };
  return (
    <>
      {GROUPS.map((group) => {
        const lines = checkLines(group, at);
        if (lines.length === 0) return null;
        return (
          <section key={group}>
            <h2 class="section-title">{t(`checks.group.${group}`)}</h2>
            <ul>
              {lines.map((line) => (
                <Line key={line.row.calculation} line={line} view={view} system={system} />
              ))}
            </ul>
          </section>
        );
      })}
    </>
  );
}

function List({ view }: { view: JobView }) {
  const { job } = view;
  const { shown, show } = useSystem(view);
  return (
    <Screen
      name={t("checks.title")}
      top={
        <TopBar
          title={t("checks.title")}
          under={markInvented(job.name, view)}
          back={`/job/${job.id}`}
        />
      }
      bottom={<JobTabs view={view} here={`/job/${job.id}/checks`} />}
    >
      <LiveSync />
      <RunningHolds view={view} />
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
      {shown && <OfSystem key={shown.id} view={view} system={shown} />}
      {view.readings.length > 0 && (
        <ButtonLink kind="quiet" href={`/job/${job.id}/readings`}>
          {t("record.see_all")}
        </ButtonLink>
      )}
    </Screen>
  );
}
