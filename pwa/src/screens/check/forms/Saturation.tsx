import { Choice } from "../../../components/Choice";
import { t } from "../../../text";
import { Air, airField, withAltitude } from "../../parts/reading/Air";
import type { Field, ReadingDraft } from "../../parts/reading/entry";
import { QuantityField } from "../../parts/reading/fields";
import { type FormProps, ReadingScreen } from "../../parts/reading/ReadingScreen";
import { Refrigerant, refrigerantPick, withRefrigerant } from "../../parts/reading/Refrigerant";
import { useBarometer } from "../../parts/reading/useBarometer";
import { useReading } from "../../parts/reading/useReading";

type By = "gauge" | "temperature";

function fieldFor(draft: ReadingDraft): Field {
  return draft.picked["from"] === "temperature"
    ? { name: "temperature_c", label: t("field.temperature_c"), quantity: "temperature" }
    : { name: "gauge_pa", label: t("field.gauge_pa"), quantity: "gauge_pressure" };
}

/** Boiling point of a pressure, or pressures of a temperature: the table of a gauge, with the air of the site. */
export default function Saturation(at: FormProps) {
  const air = useBarometer();
  const form = useReading({
    calculation: "saturation",
    where: at,
    own: {},
    start: (draft) => withAltitude(withRefrigerant(draft, at), at),
    fields: (draft) => {
      const field = fieldFor(draft);
      return field.name === "gauge_pa" ? [field, airField(draft)] : [field];
    },
    picks: () => [refrigerantPick()],
    inputs: ({ gauge_pa, ...values }, { picked }) => {
      const refrigerant = picked["refrigerant"];
      if (gauge_pa === undefined) return { refrigerant, temperature_c: values["temperature_c"] };
      const barometer_pa = air.at(values);
      return barometer_pa === null ? null : { refrigerant, pressure_pa: gauge_pa + barometer_pa };
    },
    refused: air.refused,
    again: "adds",
    instruments: "gauge and thermometer",
  });
  const from: By = form.draft.picked["from"] === "temperature" ? "temperature" : "gauge";
  return (
    <ReadingScreen at={at} form={form}>
      <Refrigerant form={form} />
      <Choice
        label={t("field.from")}
        labelled="spoken"
        value={from}
        onPick={(value) => form.change((now) => ({ picked: { ...now.picked, from: value } }))}
        options={[
          { value: "gauge", label: t("field.from_gauge") },
          { value: "temperature", label: t("field.from_temperature") },
        ]}
      />
      <div>
        <QuantityField form={form} field={fieldFor(form.draft)} />
      </div>
      {from === "gauge" && <Air form={form} />}
    </ReadingScreen>
  );
}
