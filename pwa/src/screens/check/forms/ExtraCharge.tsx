import { Button } from "../../../components/Button";
import { t } from "../../../text";
import { type Field, known, type ReadingDraft } from "../../parts/reading/entry";
import { FoldedFields, QuantityFields } from "../../parts/reading/fields";
import { type FormProps, ReadingScreen } from "../../parts/reading/ReadingScreen";
import { Refrigerant, refrigerantPick, withRefrigerant } from "../../parts/reading/Refrigerant";
import { ResultCard } from "../../parts/reading/ResultCard";
import { type Reading, useReading } from "../../parts/reading/useReading";
import { useTable } from "../../parts/reading/useTable";
import { ChargeTable } from "./charge/ChargeTable";
import { LineCard } from "./charge/LineCard";
import {
  EMPTY_LINE,
  factorFields,
  type Lines,
  lineEntries,
  lineFields,
  lineInputs,
  linesOfSheet,
} from "./charge/lines";

/** Of the liquid line in cooling, when nobody says otherwise (P). */
const USUAL_LIQUID_C = 40;

const liquid = (): Field => ({
  name: "liquid_c",
  label: t("field.liquid_c"),
  quantity: "temperature",
  usual: { low: 20, high: 50 },
});
const included = (): Field => ({
  name: "included_length_m",
  label: t("field.included_length_m"),
  quantity: "length",
  need: "optional",
});

const allFields = (draft: ReadingDraft<Lines>): Field[] => [
  ...draft.own.lines.flatMap((line, index) => lineFields(line, { index })),
  included(),
  liquid(),
  ...factorFields(draft),
];

function missing({ own }: ReadingDraft<Lines>): string | undefined {
  const unsized = own.lines.findIndex((line) => line.size === "");
  if (unsized < 0) return undefined;
  const name = own.lines[unsized]?.label || t("extra_charge.line", { number: unsized + 1 });
  return t("check.pick_needed", { name: t("extra_charge.size", { name }) });
}

/** What the liquid lines take beyond what the outdoor module came with. */
export default function ExtraCharge(at: FormProps) {
  const form = useReading<Lines>({
    calculation: "extra_charge",
    where: at,
    own: { lines: [EMPTY_LINE] },
    start: (draft) => {
      const begun = withRefrigerant(draft, at);
      const liquid_c = known(USUAL_LIQUID_C, { unit: "°C" });
      return { ...begun, typed: { ...begun.typed, liquid_c } };
    },
    fields: allFields,
    picks: () => [refrigerantPick()],
    inputs: (values, draft) => {
      if (missing(draft)) return null;
      const { liquid_c, included_length_m } = values;
      const refrigerant = draft.picked["refrigerant"];
      const more = included_length_m === undefined ? {} : { included_length_m };
      return { refrigerant, liquid_c, ...more, ...lineInputs(values, draft) };
    },
    entered: lineEntries,
    missing,
    // Lines are many and their lengths are not those of another system.
    repeats: [],
    again: "replaces",
    instruments: "tape",
  });
  return (
    <ReadingScreen
      at={at}
      form={form}
      result={(result) => (
        <ResultCard calculation="extra_charge" result={result} units={form.units}>
          <ChargeTable form={form} result={result} />
        </ResultCard>
      )}
    >
      <Refrigerant form={form} />
      <LineList form={form} at={at} />
      <QuantityFields form={form} fields={[included(), liquid()]} />
      <Factors form={form} />
    </ReadingScreen>
  );
}

type OfForm = { form: Reading<Lines> };

function LineList({ form, at }: OfForm & { at: FormProps }) {
  const table = useTable<{ sizes: { size: string }[] }>("tube_sizes");
  const sizes = (table?.sizes ?? []).map((one) => one.size);
  const { lines } = form.draft.own;
  const ofSheet = linesOfSheet(at);
  const take = () =>
    form.change((now) => ({ own: ofSheet.own, typed: { ...now.typed, ...ofSheet.typed } }));
  const isUntouched = lines.length === 1 && lines[0]?.size === "";
  return (
    <>
      {isUntouched && ofSheet.own.lines.length > 0 && (
        <Button kind="quiet" onPress={take}>
          {t("extra_charge.of_sheet", { count: ofSheet.own.lines.length })}
        </Button>
      )}
      {lines.map((line, index) => (
        <LineCard key={index} form={form} line={line} index={index} sizes={sizes} />
      ))}
      <Button
        kind="quiet"
        icon="plus"
        onPress={() => form.changeOwn({ lines: [...lines, EMPTY_LINE] })}
      >
        {t("extra_charge.add")}
      </Button>
    </>
  );
}

/** The maker's table decides; where it is at hand the two are compared. */
function Factors({ form }: OfForm) {
  const fields = factorFields(form.draft);
  if (fields.length === 0) return null;
  return <FoldedFields form={form} fields={fields} title={t("extra_charge.factors")} />;
}
