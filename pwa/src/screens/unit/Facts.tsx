import { formatQuantity } from "../../format/number";
import type { UnitRow } from "../../local/rows";
import type { JobView } from "../../queries/job";
import { t } from "../../text";
import { parentWords, placeOf, wordsFor } from "../parts/unit-words";

type Props = { view: JobView; unit: UnitRow };

/** "3/8 coil, 12.5 m" */
function lineWords({ line_size, line_length_m }: UnitRow): string | null {
  const length =
    typeof line_length_m === "number" &&
    formatQuantity(line_length_m, { significant: 4, unit: "m" });
  return [line_size, length].filter(Boolean).join(", ") || null;
}

function rowsOf({ view, unit }: Props): [string, string | null][] {
  const system = unit.system_id ? view.systemById.get(unit.system_id) : undefined;
  return [
    [t("unit.kind"), wordsFor("kind", unit.kind)],
    [t("unit.system"), system?.tag ?? null],
    [t("unit.place"), placeOf(unit)],
    [t("unit.parent"), parentWords(unit, { view })],
    [t("unit.ports"), unit.port_count === null ? null : String(unit.port_count)],
    [t("unit.group_address"), unit.group_address],
    [t("unit.central_address"), unit.central_address],
    [t("unit.feeder"), unit.feeder],
    [
      t("unit.room_volume"),
      unit.room_m3 === null ? null : formatQuantity(unit.room_m3, { significant: 4, unit: "m³" }),
    ],
    [t("unit.line"), lineWords(unit)],
    [t("unit.note"), unit.model_note],
  ];
}

/** What the as-built sheet says of a unit; lines without an entry are left out. */
export function Facts(props: Props) {
  return (
    <section>
      <h2 class="section-title">{t("unit.sheet")}</h2>
      <dl class="facts">
        {rowsOf(props).map(
          ([name, value]) =>
            value && (
              <div key={name} class="fact">
                <dt>{name}</dt>
                <dd>{value}</dd>
              </div>
            ),
        )}
      </dl>
    </section>
  );
}
