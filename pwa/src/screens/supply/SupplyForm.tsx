import { Button } from "../../components/Button";
import { Notice } from "../../components/Notice";
import { t } from "../../text";
import { listWords } from "../parts/issue-words";
import { PickField, QuantityFields } from "../parts/reading/fields";
import { type FormProps, ReadingScreen } from "../parts/reading/ReadingScreen";
import { ResultCard } from "../parts/reading/ResultCard";
import { codeWords } from "../parts/reading/reason-words";
import type { Result } from "../parts/reading/useLive";
import { type Reading, useReading } from "../parts/reading/useReading";
import { placeOf } from "../parts/unit-words";
import {
  CURRENTS,
  reversedOnFeeder,
  rotationPick,
  type SupplyOwn,
  supplyFields,
  supplyInputs,
  VOLTAGES,
} from "./supply";

/** Three voltages and the rotation of one module. */
export default function SupplyForm(at: FormProps) {
  const { view, system, unit } = at;
  const nominal_v = system?.nominal_v ?? null;
  const form = useReading<SupplyOwn>({
    calculation: "supply_power",
    where: at,
    own: { currents: "hidden" },
    fields: (draft) => supplyFields(draft, { nominal_v }),
    picks: () => [rotationPick()],
    inputs: (values, { picked }) =>
      system
        ? supplyInputs(values, { rotation: picked["rotation"], system, limits: view.limits })
        : null,
    missing: ({ picked }) => {
      if (nominal_v === null) return t("supply.nominal_needed");
      return picked["rotation"] ? undefined : t("supply.rotation_needed");
    },
    again: "replaces",
    instruments: "voltage",
    // Which way this one turns is never taken from another.
    repeats: [...VOLTAGES],
  });
  const feeder = unit?.feeder && t("supply.feeder", { feeder: unit.feeder });
  return (
    <ReadingScreen
      at={at}
      form={form}
      title={t("supply.title", { tag: unit?.tag ?? "" })}
      under={[unit && placeOf(unit), feeder].filter(Boolean).join(" · ")}
      result={(result) => (
        <ResultCard
          calculation="supply_power"
          result={result}
          units={form.units}
          next={nextWords(result, at)}
        />
      )}
    >
      {nominal_v === null && <Notice kind="doubt">{t("supply.no_nominal")}</Notice>}
      <QuantityFields form={form} fields={fieldsOf(form, VOLTAGES)} />
      <PickField form={form} pick={rotationPick()} />
      <Currents form={form} />
    </ReadingScreen>
  );
}

function fieldsOf(form: Reading<SupplyOwn>, names: readonly string[]) {
  return form.fields.filter((field) => names.includes(field.name));
}

/** Not asked of everybody: the first start comes after this. */
function Currents({ form }: { form: Reading<SupplyOwn> }) {
  if (form.draft.own.currents === "shown") {
    return <QuantityFields form={form} fields={fieldsOf(form, CURRENTS)} />;
  }
  return (
    <Button kind="quiet" icon="plus" onPress={() => form.changeOwn({ currents: "shown" })}>
      {t("supply.add_currents")}
    </Button>
  );
}

/** Where others of the feeder are reversed too, by name and first. */
function nextWords(result: Result, { view, unit }: FormProps): string[] {
  const isReversed = result.reasons?.some((reason) => reason.code === "rotation_reverse");
  const others = unit && isReversed ? reversedOnFeeder(unit, { view }) : [];
  if (others.length === 0) return codeWords(result.next);
  const tags = listWords(others.map((one) => one.tag));
  const codes = (result.next ?? []).filter((code) => code !== "next.suspect_the_feeder");
  return [t("supply.check_feeder", { tags, count: others.length }), ...codeWords(codes)];
}
