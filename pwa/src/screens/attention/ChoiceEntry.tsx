import { SelectField } from "../../components/SelectField";
import type { AttentionItem } from "../../queries/attention";
import { t } from "../../text";
import { choicesOf } from "./choices";
import type { Known } from "./field-words";
import type { MendableField } from "./mendable";

type Props = {
  field: MendableField;
  item: AttentionItem;
  known: Known;
  label: string;
  error: string | undefined;
  value: unknown;
  onPick: (value: string | null) => void;
};

/** One of a few; what was wrong with the first choice is told until there is another. */
export function ChoiceEntry({ field, item, known, label, error, value, onPick }: Props) {
  const sent = item.fields[field];
  const { options, empty, mustChoose } = choicesOf(field, known, { sent });
  const isAmong = options.some((one) => one.value === value);
  const told = isAmong || value !== sent ? undefined : error;
  const isOpen = mustChoose && !isAmong && options.length > 0;
  return (
    <SelectField
      label={label}
      options={options}
      {...(empty === undefined ? {} : { empty })}
      error={told ?? (isOpen ? t("attention.choose_one") : undefined)}
      value={isAmong ? String(value) : ""}
      onPick={(to) => onPick(to === "" ? null : to)}
    />
  );
}
