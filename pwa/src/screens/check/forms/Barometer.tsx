import { t } from "../../../text";
import { withAltitude } from "../../parts/reading/Air";
import type { Field } from "../../parts/reading/entry";
import { QuantityFields } from "../../parts/reading/fields";
import { type FormProps, ReadingScreen } from "../../parts/reading/ReadingScreen";
import { useReading } from "../../parts/reading/useReading";

/** What the air weighs at the site, from its altitude. */
export default function Barometer(at: FormProps) {
  const fields: Field[] = [
    { name: "altitude_m", label: t("field.altitude_m"), quantity: "altitude" },
  ];
  const form = useReading({
    calculation: "barometer",
    where: at,
    own: {},
    start: (draft) => withAltitude(draft, at),
    fields: () => fields,
    again: "replaces",
  });
  return (
    <ReadingScreen at={at} form={form}>
      <QuantityFields form={form} />
    </ReadingScreen>
  );
}
