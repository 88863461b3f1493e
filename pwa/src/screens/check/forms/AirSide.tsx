import { t } from "../../../text";
import { Air, airField, withAltitude } from "../../parts/reading/Air";
import { type Field, type Pick, type ReadingDraft, siValueOf } from "../../parts/reading/entry";
import { FoldedFields, PickField, QuantityField, QuantityFields } from "../../parts/reading/fields";
import { type FormProps, ReadingScreen } from "../../parts/reading/ReadingScreen";
import { useReading } from "../../parts/reading/useReading";

/** Air of occupied rooms and of coils; beyond it a slip is likelier (P). */
const USUAL_AIR = { low: 0, high: 50 };

const bulb = (name: string, need: Field["need"] = "needed"): Field => ({
  name,
  label: t(`field.${name}` as "field.return_db_c"),
  quantity: "temperature",
  need,
  usual: USUAL_AIR,
});

/** A unit that heats takes no water from the air: the wet bulb behind it tells nothing. */
function isHeating(draft: ReadingDraft): boolean {
  const before_c = siValueOf(bulb("return_db_c"), { draft });
  const after_c = siValueOf(bulb("supply_db_c"), { draft });
  return before_c !== null && after_c !== null && after_c > before_c;
}

const temperatures = (draft: ReadingDraft): Field[] => [
  bulb("return_db_c"),
  bulb("return_wb_c"),
  bulb("supply_db_c"),
  bulb("supply_wb_c", isHeating(draft) ? "optional" : "needed"),
];

const flow = (): Field => ({
  name: "flow_m3_s",
  label: t("field.flow_m3_s"),
  quantity: "air_flow",
  usual: { low: 0.02, high: 3 },
});

const flowAt = (): Pick => ({
  name: "flow_at",
  label: t("field.flow_at"),
  options: [
    { value: "supply", label: t("choice.flow_supply") },
    { value: "return", label: t("choice.flow_return") },
  ],
});

const doubt = (name: string, quantity: Field["quantity"]): Field => ({
  name,
  label: t(`field.air_side.${name}` as "field.air_side.flow_uncertainty_pct"),
  quantity,
  need: "optional",
});

const doubts = (): Field[] => [
  doubt("temperature_uncertainty_k", "temperature_difference"),
  doubt("wet_bulb_uncertainty_k", "temperature_difference"),
  doubt("flow_uncertainty_pct", "percent"),
];

/** What one indoor unit moves: air before and after the coil, and how much of it. */
export default function AirSide(at: FormProps) {
  const form = useReading({
    calculation: "air_side",
    where: at,
    own: {},
    start: (draft) => withAltitude(draft, at),
    fields: (draft) => [...temperatures(draft), flow(), airField(draft), ...doubts()],
    picks: () => [flowAt()],
    inputs: (values, { picked }) => ({ ...values, flow_at: picked["flow_at"] }),
    again: "adds",
    instruments: "air meter and thermometer",
  });
  return (
    <ReadingScreen at={at} form={form}>
      <QuantityFields form={form} fields={temperatures(form.draft)} />
      <div>
        <QuantityField form={form} field={flow()} />
      </div>
      <PickField form={form} pick={flowAt()} />
      <Air form={form} />
      <FoldedFields
        form={form}
        fields={doubts()}
        title={t("air_side.how_sure")}
        hint={t("air_side.how_sure_hint")}
      />
    </ReadingScreen>
  );
}
