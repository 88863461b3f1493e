import { Choice } from "../../../components/Choice";
import { lastMadeFirst } from "../../../queries/made";
import { t } from "../../../text";
import { readingsOf } from "./before";
import type { Field, ReadingDraft } from "./entry";
import { QuantityField } from "./fields";
import type { Reading, Where } from "./useReading";

/** A gauge tells pressure above the air: what the air has is read off, or follows from the altitude. */
type By = "altitude_m" | "barometer_pa";
const PICKED = "air_by";

// biome-ignore lint/suspicious/noExplicitAny: what a form has of its own does not matter here.
type AnyReading = Reading<any, any>;

const by = (draft: ReadingDraft): By =>
  draft.picked[PICKED] === "barometer_pa" ? "barometer_pa" : "altitude_m";

/** The field of the two that is in use. */
export function airField(draft: ReadingDraft): Field {
  return by(draft) === "altitude_m"
    ? { name: "altitude_m", label: t("field.altitude_m"), quantity: "altitude" }
    : { name: "barometer_pa", label: t("field.barometer_pa"), quantity: "air_pressure" };
}

/** A site does not move: its altitude is typed once per job, and shown in the unit of who looks. */
export function withAltitude<Own extends object>(
  draft: ReadingDraft<Own>,
  { view }: Where,
): ReadingDraft<Own> {
  const before = lastMadeFirst(
    ["barometer", "superheat", "subcooling", "saturation", "air_side"].flatMap((calculation) =>
      readingsOf(calculation, { view }),
    ),
  ).find((reading) => reading.entered["altitude_m"])?.entered["altitude_m"];
  if (!before) return draft;
  return { ...draft, typed: { ...draft.typed, altitude_m: { ...before, shown: "" } } };
}

export function Air({ form }: { form: AnyReading }) {
  return (
    <>
      <Choice
        label={t("field.air_by")}
        value={by(form.draft)}
        onPick={(value) => form.change((now) => ({ picked: { ...now.picked, [PICKED]: value } }))}
        options={[
          { value: "altitude_m", label: t("field.by_altitude") },
          { value: "barometer_pa", label: t("field.by_barometer") },
        ]}
      />
      <div>
        <QuantityField form={form} field={airField(form.draft)} />
      </div>
    </>
  );
}
