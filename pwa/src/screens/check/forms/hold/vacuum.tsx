/** The standing vacuum: pumped down, shut off, and watched. */
import { SelectField } from "../../../../components/SelectField";
import { t } from "../../../../text";
import { QuantityFields } from "../../../parts/reading/fields";
import type { Inputs } from "../../../parts/reading/useReading";
import { quantityWords, unitInUse } from "../../../parts/reading/value-words";
import { criterionOf, criterionOptions, pumpDownPa, sheetEntries, withCriterion } from "./criteria";
import { drawVacuum } from "./drawing";
import { fittedOf } from "./fitted";
import type { HoldKind } from "./kind";
import { secondsOf } from "./record";
import type { HoldForm } from "./useHold";

/** Outside of these a slip of the finger is likelier than a circuit (P). */
const USUAL = {
  limit: { low: 13, high: 400 },
  hold: { low: 900, high: 24 * 3600 },
  coldest: { low: -20, high: 45 },
  volume: { low: 0.002, high: 1 },
  pressure: { low: 1, high: 4000 },
  resolution: { low: 0.01, high: 15 },
};

function SetUp({ form }: { form: HoldForm }) {
  return (
    <>
      <SelectField
        name="criterion"
        label={t("field.criterion")}
        value={form.draft.picked["criterion"] ?? ""}
        empty={t("check.pick")}
        options={criterionOptions(form.where.view)}
        onPick={(id) => form.change((now) => withCriterion(now, { id, view: form.where.view }))}
      />
      <QuantityFields form={form} fields={VACUUM.setup(form.draft)} />
      <p class="quiet-text">{t("hold.vacuum_hint")}</p>
    </>
  );
}

export const VACUUM: HoldKind = {
  calculation: "vacuum_stand",
  instruments: "vacuum gauge",
  setup: () => [
    {
      name: "limit_pa",
      label: t("field.vacuum_limit_pa"),
      quantity: "vacuum",
      usual: USUAL.limit,
    },
    { name: "hold_s", label: t("field.hold_s"), quantity: "hours", usual: USUAL.hold },
    {
      name: "coldest_c",
      label: t("field.coldest_c"),
      quantity: "temperature",
      usual: USUAL.coldest,
    },
    { name: "volume_m3", label: t("field.volume_m3"), quantity: "volume", usual: USUAL.volume },
    {
      name: "gauge_resolution_pa",
      label: t("field.gauge_resolution_pa"),
      quantity: "vacuum",
      need: "optional",
      usual: USUAL.resolution,
    },
  ],
  picks: (view) => [
    { name: "criterion", label: t("field.criterion"), options: criterionOptions(view) },
  ],
  reading: () => [
    {
      name: "pressure_pa",
      label: t("field.vacuum_pressure_pa"),
      quantity: "vacuum",
      usual: USUAL.pressure,
    },
  ],
  more: (draft, { view }) => {
    const criterion = criterionOf(draft, { view });
    const from = criterion
      ? { source: criterion.source, mark: criterion.mark }
      : { source: t("hold.own_limit"), mark: "M" };
    const pump_down_pa = criterion && pumpDownPa(criterion);
    return {
      ...sourced("limit", from),
      ...sourced("hold", from),
      ...(pump_down_pa ? { pump_down_pa, ...sourced("pump_down", from) } : {}),
    };
  },
  ofSheet: sheetEntries,
  repeats: ["criterion", "limit_pa", "hold_s", "coldest_c", "gauge_resolution_pa"],
  SetUp,
  draw: ({ points, setup, result, units }) =>
    drawVacuum(
      points.map((point) => ({
        at_s: secondsOf(point),
        pressure_pa: point.si["pressure_pa"] ?? 0,
      })),
      {
        fitted: fittedOf(result, points),
        limit_pa: Number(setup["limit_pa"]),
        water_pa: numberOf(result?.["water_saturation_pa"]),
        unit: unitInUse("vacuum", units),
      },
    ),
  columns: () => [t("field.vacuum_pressure_pa")],
  cells: (at, { points, units }) => [
    quantityWords(points[at]?.si["pressure_pa"] ?? Number.NaN, "vacuum", units),
  ],
};

function sourced(name: string, { source, mark }: { source: string; mark: string }): Inputs {
  return { [`${name}_source`]: source, [`${name}_mark`]: mark };
}

function numberOf(value: unknown): number | null {
  return typeof value === "number" ? value : null;
}
