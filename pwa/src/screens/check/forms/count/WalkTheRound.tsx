import type { UnitRow } from "../../../../local/rows";
import { t } from "../../../../text";
import type { FormProps } from "../../../parts/reading/ReadingScreen";
import type { Reading } from "../../../parts/reading/useReading";
import { floorWords } from "../../../parts/unit-words";
import { byFloor } from "../../../round/order";
import { useRound } from "../../../round/useRound";
import { indoorUnits } from "../ports/sheet";
import { type CountResult, poweredOf, pressed, type Seen, splitSuspects, type Walk } from "./count";
import { Suspects } from "./Suspects";

type Form = Reading<Walk, CountResult>;
type Props = { at: FormProps; form: Form; result: CountResult | undefined };

type RowProps = { unit: UnitRow; power: string | null; seen: Seen | undefined; form: Form };

const WORD = { running: "count.running", still: "count.still" } as const;

function UnitSeen({ unit, power, seen, form }: RowProps) {
  const press = (as: Seen) =>
    form.change((now) => ({ own: { ...now.own, ...pressed(now.own, { tag: unit.tag, as }) } }));
  return (
    <li class="seen-row">
      <span class="seen-row-words">
        <span class="unit-row-tag">{unit.tag}</span>
        <span class="quiet-text block">
          {[unit.room ?? unit.place, power].filter(Boolean).join(" · ")}
        </span>
      </span>
      <span class="seen-row-keys">
        {(["running", "still"] as const).map((as) => (
          <button
            key={as}
            type="button"
            class={`seen seen-${as}`}
            aria-pressed={seen === as}
            aria-label={t("count.seen_of", { tag: unit.tag, state: t(WORD[as]) })}
            onClick={() => press(as)}
          >
            {t(WORD[as])}
          </button>
        ))}
      </span>
    </li>
  );
}

/** The units in walking order, which stays; the suspects above it reorder with each press. */
export function WalkTheRound({ at, form, result }: Props) {
  const here = new Set(indoorUnits(at).map((unit) => unit.id));
  const round = useRound(at.view).filter((unit) => here.has(unit.id));
  const power = new Map(poweredOf(round, at).map((one) => [one.unit, one.seen]));
  const { seen } = form.draft.own;
  const done = round.filter((unit) => seen[unit.tag]).length;
  const powerWords = (tag: string) => {
    const has = power.get(tag);
    return has === undefined ? null : t(has ? "count.has_power" : "count.no_power");
  };
  return (
    <section class="stack">
      {result && <Suspects at={at} {...splitSuspects(result, form.draft.own)} />}
      <h2 class="section-title">{t("count.walk")}</h2>
      <p>{t("count.walk_hint")}</p>
      <p class="number">{t("count.looked", { done, total: round.length })}</p>
      {byFloor(round).map((floor, index) => (
        <section key={`${floor.floor}-${index}`}>
          <h3>{floorWords(floor.floor)}</h3>
          <ul>
            {floor.units.map((unit) => (
              <UnitSeen
                key={unit.id}
                unit={unit}
                power={powerWords(unit.tag)}
                seen={seen[unit.tag]}
                form={form}
              />
            ))}
          </ul>
        </section>
      ))}
    </section>
  );
}
