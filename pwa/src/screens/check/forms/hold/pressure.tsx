/** The pressure hold: dry nitrogen at test pressure, and what temperature explains of its fall. */
import { t } from "../../../../text";
import type { Field, Pick } from "../../../parts/reading/entry";
import { Folded, PickField, QuantityFields } from "../../../parts/reading/fields";
import { sheetEntry, sheetLimit } from "../../../parts/reading/limits";
import { sourceWords } from "../../../parts/reading/reason-words";
import type { Inputs } from "../../../parts/reading/useReading";
import { quantityWords, unitInUse } from "../../../parts/reading/value-words";
import { drawPressure, type PressureLook } from "./drawing";
import { expectedOf } from "./expected";
import type { Drawn, HoldKind } from "./kind";
import { secondsOf } from "./record";
import type { HoldForm } from "./useHold";

/** Outside of these a slip of the finger is likelier than a circuit or an instrument (P). */
const USUAL = {
  gauge: { low: 100_000, high: 4_500_000 },
  pipe: { low: -15, high: 55 },
  barometer: { low: 65_000, high: 106_000 },
  volume: { low: 0.002, high: 1 },
  resolution: { low: 50, high: 50_000 },
  thermometer: { low: 0.05, high: 3 },
  leak: { low: 1e-5, high: 1 },
};

function SetUp({ form }: { form: HoldForm }) {
  return (
    <>
      <QuantityFields form={form} fields={PRESSURE.setup(form.draft)} />
      <OfSheet form={form} />
      <Folded
        title={t("hold.copper")}
        hint={t("hold.copper_hint")}
        isOpen={form.draft.picked["copper_growth"] === COUNTED}
      >
        <PickField form={form} pick={copper()} />
      </Folded>
      <p class="quiet-text">{t("hold.pressure_hint")}</p>
    </>
  );
}

/** Where the leak to exclude comes from, while it is the one of the limits sheet. */
function OfSheet({ form }: { form: HoldForm }) {
  const limit = sheetLimit(LEAK, { view: form.where.view });
  if (!limit || form.values[LEAK] !== limit.value) return null;
  const source = sourceWords(limit.source, { mark: limit.mark });
  return <p class="quiet-text">{t("hold.of_sheet", { source })}</p>;
}

const LEAK = "leak_to_exclude_pa_m3_s";
const COUNTED = "copper_yes";

const copper = (): Pick => ({
  name: "copper_growth",
  label: t("field.copper_growth"),
  need: "optional",
  options: [
    { value: COUNTED, label: t("choice.copper_yes") },
    { value: "copper_no", label: t("choice.copper_no") },
  ],
});

export const PRESSURE: HoldKind = {
  calculation: "pressure_hold",
  instruments: "gauge and thermometer",
  setup: () => [
    { name: "volume_m3", label: t("field.volume_m3"), quantity: "volume", usual: USUAL.volume },
    {
      name: "gauge_resolution_pa",
      label: t("field.gauge_resolution_pa"),
      quantity: "pressure_difference",
      usual: USUAL.resolution,
    },
    {
      name: "temperature_uncertainty_k",
      label: t("field.temperature_uncertainty_k"),
      quantity: "temperature_difference",
      usual: USUAL.thermometer,
    },
    {
      name: LEAK,
      label: t("field.leak_to_exclude_pa_m3_s"),
      quantity: "leak_rate",
      usual: USUAL.leak,
    },
    {
      name: "filled_ago_s",
      label: t("field.filled_ago_s"),
      quantity: "minutes",
      need: "optional",
    },
    { name: "altitude_m", label: t("field.altitude_m"), quantity: "altitude", need: "optional" },
  ],
  onlyTyped: ["altitude_m", "filled_ago_s"],
  ofOne: ["filled_ago_s"],
  picks: () => [copper()],
  more: ({ picked }, { values: { filled_ago_s } }): Inputs => ({
    // On the clock of the readings, which begins at the first of them.
    ...(filled_ago_s === undefined ? {} : { filled_t_s: -filled_ago_s }),
    ...(picked["copper_growth"] === COUNTED ? { copper_growth: true } : {}),
  }),
  ofSheet: (view) => {
    const limit = sheetLimit(LEAK, { view });
    if (!limit) return {};
    return { [LEAK]: sheetEntry(limit.value, "leak_rate", { symbol: "Pa·m³/s" }) };
  },
  reading: (others) => {
    const gauge: Field = {
      name: "gauge_pa",
      label: t("field.gauge_pa"),
      quantity: "gauge_pressure",
      usual: USUAL.gauge,
    };
    const pipe: Field = {
      name: "temperature_c",
      label: t("field.pipe_c"),
      quantity: "temperature",
      usual: USUAL.pipe,
    };
    const [first] = others;
    // Weather moves the gauge one to one: a barometer is read at all readings, or at none.
    if (first && first.typed["barometer_pa"] === undefined) return [gauge, pipe];
    return [gauge, pipe, barometer(first ? "needed" : "optional")];
  },
  repeats: [
    "gauge_resolution_pa",
    "temperature_uncertainty_k",
    LEAK,
    "altitude_m",
    "copper_growth",
  ],
  SetUp,
  draw: (drawn) => drawPressure(looksOf(drawn), { unit: unitInUse("gauge_pressure", drawn.units) }),
  columns: () => [
    t("field.gauge_pa"),
    t("field.pipe_c"),
    t("hold.line.pressure_hold"),
    t("hold.doubt"),
  ],
  cells: (at, drawn) => {
    const look = looksOf(drawn)[at];
    const pressure = (si: number | null | undefined) =>
      si === null || si === undefined ? "–" : quantityWords(si, "gauge_pressure", drawn.units);
    const pipe_c = drawn.points[at]?.si["temperature_c"] ?? Number.NaN;
    return [
      pressure(look?.gauge_pa),
      quantityWords(pipe_c, "temperature", drawn.units),
      pressure(look?.expected_pa),
      pressure(look?.doubt_pa),
    ];
  },
};

function barometer(need: "needed" | "optional"): Field {
  return {
    name: "barometer_pa",
    label: t("field.barometer_pa"),
    quantity: "air_pressure",
    need,
    usual: USUAL.barometer,
  };
}

function looksOf({ points, result }: Drawn): PressureLook[] {
  return points.map((point, at) => ({
    at_s: secondsOf(point),
    gauge_pa: point.si["gauge_pa"] ?? Number.NaN,
    ...expectedOf(result, at),
  }));
}
