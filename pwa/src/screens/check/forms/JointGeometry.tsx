import { t } from "../../../text";
import type { Field, Pick, ReadingDraft } from "../../parts/reading/entry";
import { PickField, QuantityField } from "../../parts/reading/fields";
import { limitInputs } from "../../parts/reading/limits";
import { type FormProps, ReadingScreen } from "../../parts/reading/ReadingScreen";
import { useReading } from "../../parts/reading/useReading";

/** A longer run is not measured but estimated, and a slip is likelier (P). */
const USUAL_RUN = { low: 0, high: 5 };

const runs = (): Field[] => [
  {
    name: "straight_before_m",
    label: t("field.straight_before_m"),
    quantity: "short_length",
    usual: USUAL_RUN,
  },
  {
    name: "straight_after_m",
    label: t("field.straight_after_m"),
    quantity: "short_length",
    usual: USUAL_RUN,
  },
];

const tilt = (): Field => ({ name: "tilt_deg", label: t("field.tilt_deg"), quantity: "angle" });

/** What lies neither level nor upright has no tilt to speak of. */
const hasTilt = (draft: ReadingDraft) =>
  draft.picked["attitude"] === "level" || draft.picked["attitude"] === "vertical";

const attitude = (): Pick => ({
  name: "attitude",
  label: t("field.attitude"),
  options: [
    { value: "level", label: t("choice.level") },
    { value: "vertical", label: t("choice.vertical") },
    { value: "other", label: t("choice.other") },
  ],
});

/** How one joint or box is piped: straight runs, and how it lies. */
export default function JointGeometry(at: FormProps) {
  const form = useReading({
    calculation: "joint_geometry",
    where: at,
    own: {},
    fields: (draft) => (hasTilt(draft) ? [...runs(), tilt()] : runs()),
    picks: () => [attitude()],
    inputs: (values, { picked }) => ({
      ...values,
      attitude: picked["attitude"],
      ...limitInputs("straight_limit", { view: at.view, unit: "m" }),
      ...limitInputs("tilt_limit", { view: at.view, unit: "deg" }),
    }),
    again: "replaces",
    instruments: "rule and level",
  });
  return (
    <ReadingScreen at={at} form={form}>
      <div>
        {runs().map((field) => (
          <QuantityField key={field.name} form={form} field={field} />
        ))}
      </div>
      <PickField form={form} pick={attitude()} />
      {hasTilt(form.draft) && (
        <div>
          <QuantityField form={form} field={tilt()} />
        </div>
      )}
    </ReadingScreen>
  );
}
