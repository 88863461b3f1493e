import { StateShape } from "../../../../components/StateShape";
import { t } from "../../../../text";
import { placeOf } from "../../../parts/unit-words";
import { changesIn, withSwitched } from "./rounds";
import type { Check } from "./usePortCheck";

type Props = { check: Check; round: number };

/** Once the clock runs this is done: it makes room for the clock and the readings. */
export function Switching(props: Props) {
  const { own } = props.check.form.draft;
  const kept = own.rounds[props.round];
  if (!kept?.started_at) return <ToSwitch {...props} />;
  const total = changesIn(own, { round: props.round, units: props.check.units }).length;
  return (
    <details class="details">
      <summary>{t("port_check.switched", { done: kept.switched.length, total })}</summary>
      <div>
        <ToSwitch {...props} />
      </div>
    </details>
  );
}

/** What to switch in this round, in walking order; what stays is only told. */
function ToSwitch({ check, round }: Props) {
  const { form, units } = check;
  const { own } = form.draft;
  const changes = changesIn(own, { round, units });
  const switched = own.rounds[round]?.switched ?? [];
  const stays = units.filter((unit) => !changes.some((one) => one.unit.id === unit.id));
  const press = (id: string) =>
    form.change((now) => ({ own: { ...now.own, ...withSwitched(now.own, { round, unit: id }) } }));
  return (
    <section class="stack">
      <h2 class="section-title">{t("port_check.switch")}</h2>
      <p class="quiet-text">
        {t(changes.length > 0 ? "port_check.switch_hint" : "port_check.nothing_to_switch")}
      </p>
      <ul>
        {changes.map(({ unit, to }) => (
          <li key={unit.id}>
            <button
              type="button"
              class="unit-row"
              aria-pressed={switched.includes(unit.id)}
              onClick={() => press(unit.id)}
            >
              <StateShape state={switched.includes(unit.id) ? "done" : "todo"} says="shape" />
              <span class="unit-row-words">
                <span class="unit-row-tag">{unit.tag}</span>
                <span class="quiet-text block">{placeOf(unit)}</span>
              </span>
              <b class="unit-row-end">{t(`port_check.switch_${to}`)}</b>
            </button>
          </li>
        ))}
      </ul>
      {stays.length > 0 && (
        <details class="details">
          <summary>{t("port_check.stay", { count: stays.length })}</summary>
          <ul>
            {stays.map((unit) => (
              <li key={unit.id}>
                <b>{unit.tag}</b>{" "}
                {t(
                  own.rounds[round]?.on.includes(unit.id)
                    ? "port_check.stays_on"
                    : "port_check.stays_off",
                )}
              </li>
            ))}
          </ul>
        </details>
      )}
    </section>
  );
}
