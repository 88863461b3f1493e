import { SelectField } from "../../components/SelectField";
import { TextArea, TextField } from "../../components/TextField";
import type { AttentionItem } from "../../queries/attention";
import { t } from "../../text";
import { ChoiceEntry } from "./ChoiceEntry";
import { fieldWords, type Known } from "./field-words";
import { MomentEntry } from "./MomentEntry";
import { isSaidByReason, kindOf, type MendableField } from "./mendable";
import { NumberEntry } from "./NumberEntry";
import { saidAlone } from "./problem-words";

type Change = { onChange: (mended: Record<string, unknown>) => void };
type Props = Change & {
  item: AttentionItem;
  fields: Record<string, unknown>;
  mendable: readonly MendableField[];
  known: Known;
};

/** What a person said, to be mended before it is sent again, each field with what was wrong with it. */
export function MendFields({ mendable, ...props }: Props) {
  return (
    <>
      {mendable.map((field) => (
        <MendField key={field} field={field} {...props} />
      ))}
    </>
  );
}

const SECONDS = { hours: 3600, number: 1 };

function errorAt(field: MendableField, item: AttentionItem): string | undefined {
  const said = item.problem_fields[field];
  return !said || isSaidByReason(field, item) ? undefined : saidAlone(said);
}

type OneProps = Omit<Props, "mendable"> & { field: MendableField };

function MendField({ field, item, fields, known, onChange }: OneProps) {
  const error = errorAt(field, item);
  const label = fieldWords(field);
  const value = fields[field];
  const put = (to: unknown) => onChange({ [field]: to });
  const text = { label, error, value: String(value ?? ""), onInput: put };
  const kind = kindOf(field);
  if (kind === "choice") {
    return <ChoiceEntry {...{ field, item, known, label, error, value }} onPick={put} />;
  }
  if (kind === "yes_no") {
    const options = ["yes", "no"].map((one) => ({
      value: one,
      label: t(`attention.${one as "yes"}`),
    }));
    const chosen = value === true ? "yes" : "no";
    return (
      <SelectField
        {...{ label, error, options }}
        value={chosen}
        onPick={(to) => put(to === "yes")}
      />
    );
  }
  if (kind === "moment") return <MomentEntry {...{ label, error, value, known }} onEnter={put} />;
  if (kind === "number" || kind === "hours") {
    const inHours = kind === "hours" ? t("attention.hours", { field: label }) : label;
    return <NumberEntry label={inHours} {...{ error, value }} per={SECONDS[kind]} onEnter={put} />;
  }
  if (kind === "day") {
    return <TextField type="date" {...text} onInput={(to) => put(to === "" ? null : to)} />;
  }
  if (kind === "clock") return <TextField type="time" {...text} />;
  return kind === "line" ? <TextField {...text} /> : <TextArea {...text} />;
}
