import { useState } from "preact/hooks";
import { Choice } from "../../components/Choice";
import { EmptyState } from "../../components/EmptyState";
import { Screen } from "../../components/Screen";
import { StateShape } from "../../components/StateShape";
import { TextField } from "../../components/TextField";
import { TopBar } from "../../components/TopBar";
import type { UnitRow } from "../../local/rows";
import type { JobView } from "../../queries/job";
import { t } from "../../text";
import { markInvented } from "../parts/invented";
import { JobGate } from "../parts/JobGate";
import { JobTabs } from "../parts/JobTabs";
import { LiveSync } from "../parts/LiveSync";
import { floorWords, wordsFor } from "../parts/unit-words";
import { byFloor, matches } from "./order";
import { unitState } from "./unit-state";
import { useRound } from "./useRound";

type Show = "left" | "all";

export default function Round({ id }: { id: string }) {
  return (
    <JobGate id={id} back={`/job/${id}`}>
      {(view) => <Walk view={view} />}
    </JobGate>
  );
}

function UnitRowLink({ unit, view }: { unit: UnitRow; view: JobView }) {
  const state = unitState(unit, { view });
  const where = [wordsFor("kind", unit.kind), unit.place, unit.room].filter(Boolean).join(", ");
  return (
    <a class="unit-row" href={`/job/${view.job.id}/unit/${unit.id}`}>
      <StateShape state={state.shape} />
      <span class="unit-row-words">
        <span class="unit-row-tag">{unit.tag}</span>
        <span class="quiet-text block">{where}</span>
      </span>
      <span class="unit-row-end">
        {state.issues.length > 0 && <b>{t("round.issues", { count: state.issues.length })}</b>}
        {state.total > 0 && (
          <span class="block">{t("common.of", { done: state.done, total: state.total })}</span>
        )}
      </span>
    </a>
  );
}

function Walk({ view }: { view: JobView }) {
  const [search, setSearch] = useState("");
  const [show, setShow] = useState<Show>("left");
  const round = useRound(view);
  const shown = round
    .filter((unit) => matches(unit, { search }))
    .filter(
      (unit) => show === "all" || search !== "" || unitState(unit, { view }).shape !== "done",
    );
  return (
    <Screen
      name={t("round.title")}
      top={
        <TopBar
          title={t("round.title")}
          under={markInvented(view.job.name, view)}
          back={`/job/${view.job.id}`}
        />
      }
      bottom={<JobTabs view={view} here={`/job/${view.job.id}/round`} />}
    >
      <LiveSync />
      <TextField type="search" label={t("round.search")} value={search} onInput={setSearch} />
      <Choice
        label={t("round.show")}
        labelled="spoken"
        value={show}
        onPick={setShow}
        options={[
          { value: "left", label: t("round.left") },
          { value: "all", label: t("round.all", { count: view.units.length }) },
        ]}
      />
      {shown.length === 0 && (
        <EmptyState title={t(search ? "round.no_match" : "round.all_done")}>
          <p>{t(search ? "round.no_match_hint" : "round.all_done_hint")}</p>
        </EmptyState>
      )}
      {byFloor(shown).map((floor, index) => (
        <section key={`${floor.floor}-${index}`}>
          <h2 class="section-title">{floorWords(floor.floor)}</h2>
          {floor.units.map((unit) => (
            <UnitRowLink key={unit.id} unit={unit} view={view} />
          ))}
        </section>
      ))}
    </Screen>
  );
}
