import { TextArea, TextField } from "../../components/TextField";
import type { AttentionItem } from "../../queries/attention";
import { t } from "../../text";
import { isDateField, type MendableField } from "./attention-words";

type Props = {
  item: AttentionItem;
  fields: Record<string, unknown>;
  mendable: MendableField[];
  onChange: (mended: Record<string, unknown>) => void;
};

/** What a person wrote, to be mended before it is sent again, each field with what was wrong with it. */
export function MendFields({ item, fields, mendable, onChange }: Props) {
  return (
    <>
      {mendable.map((field) => {
        const props = {
          label: t(`attention.field.${field}`),
          value: String(fields[field] ?? ""),
          error: item.problem_fields[field],
          onInput: (value: string) => onChange({ [field]: value }),
        };
        return isDateField(field) ? (
          <TextField key={field} type="date" {...props} />
        ) : (
          <TextArea key={field} {...props} />
        );
      })}
    </>
  );
}
