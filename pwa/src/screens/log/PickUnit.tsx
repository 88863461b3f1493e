import { useState } from "preact/hooks";
import { Choice } from "../../components/Choice";
import { TextField } from "../../components/TextField";
import type { UnitRow } from "../../local/rows";
import type { JobView } from "../../queries/job";
import { t } from "../../text";
import { floorWords, placeOf, wordsFor } from "../parts/unit-words";
import { matches } from "../round/order";
import { recentUnits } from "./draft";

type Props = { view: JobView; onPick: (unit: UnitRow) => void };

function Rows({ units, onPick }: { units: UnitRow[]; onPick: (unit: UnitRow) => void }) {
  return (
    <ul>
      {units.map((unit) => (
        <li key={unit.id}>
          <button type="button" class="unit-row" onClick={() => onPick(unit)}>
            <span class="unit-row-words">
              <span class="unit-row-tag">{unit.tag}</span>
              <span class="quiet-text block">
                {wordsFor("kind", unit.kind)} · {placeOf(unit)}
              </span>
            </span>
          </button>
        </li>
      ))}
    </ul>
  );
}

/** Which unit: by tag or room, one of the last ones, or floor by floor. */
export function PickUnit({ view, onPick }: Props) {
  const [search, setSearch] = useState("");
  const floors = [...new Set(view.units.map((unit) => unit.floor ?? ""))];
  const [floor, setFloor] = useState(floors[0] ?? "");
  const touched = view.issues.map((issue) => issue.unit_id).reverse();
  const recent = recentUnits(view.units, { touched });
  return (
    <section class="stack">
      <TextField type="search" label={t("log.search")} value={search} onInput={setSearch} />
      {search === "" ? (
        <>
          {recent.length > 0 && (
            <section>
              <h2 class="section-title">{t("log.recent")}</h2>
              <Rows units={recent} onPick={onPick} />
            </section>
          )}
          <Choice
            label={t("log.floor")}
            value={floor}
            onPick={setFloor}
            options={floors.map((value) => ({ value, label: floorWords(value || null) }))}
          />
          <Rows units={view.units.filter((unit) => (unit.floor ?? "") === floor)} onPick={onPick} />
        </>
      ) : (
        <Rows units={view.units.filter((unit) => matches(unit, { search }))} onPick={onPick} />
      )}
    </section>
  );
}
