import type { UnitRow } from "../../../../local/rows";
import { t } from "../../../../text";
import { Scrolls } from "./Scrolls";

type Props = { units: UnitRow[]; rounds: { on: string[] }[] };

/** Which unit runs in which round; the plan knows units by id. */
export function PlanGrid({ units, rounds }: Props) {
  return (
    <Scrolls label={t("port_check.rounds_grid")}>
      <table class="plan-grid">
        <caption>{t("port_check.rounds_grid")}</caption>
        <thead>
          <tr>
            <th scope="col">{t("port_check.unit")}</th>
            {rounds.map((round, at) => (
              <th key={`${at} ${round.on.length}`} scope="col">
                {at + 1}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {units.map(({ id, tag }) => (
            <tr key={id}>
              <th scope="row">{tag}</th>
              {rounds.map((round, at) => {
                const word = round.on.includes(id) ? "on" : "off";
                return (
                  <td key={`${at} ${word}`}>
                    <span class={`plan-cell plan-cell-${word}`}>
                      <span class="spoken">{t(`port_check.${word}`)}</span>
                    </span>
                  </td>
                );
              })}
            </tr>
          ))}
        </tbody>
      </table>
    </Scrolls>
  );
}
