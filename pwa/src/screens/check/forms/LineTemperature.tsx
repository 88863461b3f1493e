import { t } from "../../../text";
import { Air, airField, withAltitude } from "../../parts/reading/Air";
import type { Field } from "../../parts/reading/entry";
import { QuantityFields } from "../../parts/reading/fields";
import { type FormProps, ReadingScreen } from "../../parts/reading/ReadingScreen";
import { Refrigerant, refrigerantPick, withRefrigerant } from "../../parts/reading/Refrigerant";
import { useReading } from "../../parts/reading/useReading";

/** Outside of these a slip of the finger is likelier than a system (P). */
const USUAL_GAUGE = { low: 100_000, high: 4_500_000 };
const USUAL_LINE = { low: -30, high: 80 };

type Props = { calculation: "superheat" | "subcooling"; at: FormProps };

/** A gauge and a thermometer on one line: superheat on the vapour side, subcooling on the liquid side. */
export function LineTemperature({ calculation, at }: Props) {
  const fields: Field[] = [
    {
      name: "gauge_pa",
      label: t("field.gauge_pa"),
      quantity: "gauge_pressure",
      usual: USUAL_GAUGE,
    },
    {
      name: "line_c",
      label: t(`field.${calculation}.line_c`),
      quantity: "temperature",
      usual: USUAL_LINE,
    },
  ];
  const form = useReading({
    calculation,
    where: at,
    own: {},
    start: (draft) => withAltitude(withRefrigerant(draft, at), at),
    fields: (draft) => [...fields, airField(draft)],
    picks: () => [refrigerantPick()],
    inputs: (values, { picked }) => ({ refrigerant: picked["refrigerant"], ...values }),
    again: "adds",
    instruments: "gauge and thermometer",
  });
  return (
    <ReadingScreen at={at} form={form}>
      <Refrigerant form={form} />
      <QuantityFields form={form} fields={fields} />
      <Air form={form} />
    </ReadingScreen>
  );
}
