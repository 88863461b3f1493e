import { t } from "../../../../text";
import type { Reading, Where } from "../../../parts/reading/useReading";
import { boxesOf } from "../ports/sheet";
import { type CountResult, portsOf, type Walk } from "./count";

type Props = { form: Reading<Walk, CountResult>; where: Where };

/** The ports box by box as the sheet has them; only those that answer otherwise are pressed. */
export function PortsNamed({ form, where }: Props) {
  const { otherwise } = form.draft.own;
  const all = portsOf(where);
  const press = (name: string) =>
    form.change((now) => {
      const rest = now.own.otherwise.filter((one) => one !== name);
      const is = rest.length < now.own.otherwise.length ? rest : [...rest, name];
      return { own: { ...now.own, otherwise: is } };
    });
  return (
    <div class="stack">
      <p class="quiet-text">{t("count.ports_hint")}</p>
      {boxesOf(where).map((box) => (
        <fieldset key={box.id} class="port-row">
          <legend>{t("count.of_box", { tag: box.tag })}</legend>
          {all
            .filter((port) => port.box.id === box.id)
            .map(({ name, isUsed }, index) => (
              <button
                key={name}
                type="button"
                class="port"
                aria-pressed={isUsed !== otherwise.includes(name)}
                aria-label={t("count.port_answers", { name })}
                onClick={() => press(name)}
              >
                {index + 1}
              </button>
            ))}
        </fieldset>
      ))}
    </div>
  );
}
