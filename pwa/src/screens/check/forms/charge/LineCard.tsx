import { Button } from "../../../../components/Button";
import { SelectField } from "../../../../components/SelectField";
import { t } from "../../../../text";
import { QuantityField } from "../../../parts/reading/fields";
import type { Reading } from "../../../parts/reading/useReading";
import { type Line, type Lines, lineFields, lineName, OWN_SIZE, withoutLine } from "./lines";

type Props = { form: Reading<Lines>; line: Line; index: number; sizes: string[] };

/** "3/8 in coil": the number is the size, what follows tells two tubes of it apart. */
function inchWords(size: string): string {
  const [inch, ...kind] = size.split(" ");
  return [t("extra_charge.inch", { size: inch ?? size }), ...kind].join(" ");
}

/** One liquid line: its size from the table or of its own, and its length. */
export function LineCard({ form, line, index, sizes }: Props) {
  const name = lineName(line, { index });
  const pick = (size: string) =>
    form.changeOwn({
      lines: form.draft.own.lines.map((one, place) => (place === index ? { ...one, size } : one)),
    });
  return (
    <section class="stack">
      <SelectField
        label={t("extra_charge.size", { name })}
        value={line.size}
        empty={t("check.pick")}
        options={[
          ...sizes.map((size) => ({ value: size, label: inchWords(size) })),
          { value: OWN_SIZE, label: t("extra_charge.own_size") },
        ]}
        onPick={pick}
      />
      <div>
        {lineFields(line, { index }).map((field) => (
          <QuantityField key={field.name} form={form} field={field} />
        ))}
      </div>
      {form.draft.own.lines.length > 1 && (
        <Button kind="quiet" onPress={() => form.change((now) => withoutLine(now, index))}>
          {t("extra_charge.remove", { name })}
        </Button>
      )}
    </section>
  );
}
