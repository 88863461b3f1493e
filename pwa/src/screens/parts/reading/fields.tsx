import type { ComponentChildren } from "preact";
import { useRef } from "preact/hooks";
import { Choice } from "../../../components/Choice";
import { NumberField } from "../../../components/NumberField";
import { SelectField } from "../../../components/SelectField";
import { TextField } from "../../../components/TextField";
import { unitsOf } from "../../../format/units";
import { t } from "../../../text";
import { type Field, inNextUnit, type Pick, shownText, typedAnew } from "./entry";
import type { Reading } from "./useReading";
import { useTypedIn } from "./useTypedIn";

/** Whatever a form has of its own does not matter to its fields. */
// biome-ignore lint/suspicious/noExplicitAny: a draft of any form is read and written alike.
type AnyReading = Reading<any, any>;

type FieldProps = { form: AnyReading; field: Field };

/** A number with its unit: pressing the unit shows the same value in the next one. */
export function QuantityField({ form, field }: FieldProps) {
  const entry = form.entryOf(field);
  const put = (next: typeof entry) =>
    form.change((now) => ({ typed: { ...now.typed, [field.name]: next } }));
  const many = unitsOf(field.quantity).length > 1;
  const label =
    field.need === "optional" ? t("check.optional", { name: field.label }) : field.label;
  return (
    <NumberField
      name={field.name}
      label={label}
      unit={entry.shown}
      text={shownText(entry, field)}
      error={form.errorOf(field)}
      onText={(text) => put(typedAnew(entry, { text }))}
      {...(many ? { onUnit: () => put(inNextUnit(entry, field)) } : {})}
    />
  );
}

/** All number fields of a form, in their order. */
export function QuantityFields({
  form,
  fields = form.fields,
}: {
  form: AnyReading;
  fields?: Field[];
}) {
  return (
    <div>
      {fields.map((field) => (
        <QuantityField key={field.name} form={form} field={field} />
      ))}
    </div>
  );
}

type FoldedProps = {
  /** Says that all of it is optional. */
  title: string;
  hint?: string;
  /** Something is typed or picked in it. */
  isOpen: boolean;
  children: ComponentChildren;
};

/** What few people need, under one line. */
export function Folded({ title, hint, isOpen, children }: FoldedProps) {
  const wasOpen = useRef(false);
  // Once open it stays so: emptying the last of its fields must not shut it under the finger.
  wasOpen.current ||= isOpen;
  return (
    <details class="details" open={wasOpen.current}>
      <summary>{title}</summary>
      <div class="stack">
        {hint && <p class="quiet-text">{hint}</p>}
        {children}
      </div>
    </details>
  );
}

type FoldedFieldsProps = { form: AnyReading; fields: Field[]; title: string; hint?: string };

export function FoldedFields({ form, fields, ...words }: FoldedFieldsProps) {
  const isUsed = (one: Field) => Boolean(form.draft.typed[one.name]?.text || form.errorOf(one));
  return (
    <Folded {...words} isOpen={fields.some(isUsed)}>
      <div>
        {fields.map((field) => (
          <QuantityField key={field.name} form={form} field={{ ...field, need: "needed" }} />
        ))}
      </div>
    </Folded>
  );
}

/** Up to four choices as targets, more as the phone's own list. */
const FEW = 4;

export function PickField({ form, pick }: { form: AnyReading; pick: Pick }) {
  const value = form.draft.picked[pick.name] ?? null;
  const put = (picked: string) =>
    form.change((now) => ({ picked: { ...now.picked, [pick.name]: picked } }));
  if (pick.options.length > FEW) {
    return (
      <SelectField
        name={pick.name}
        label={pick.label}
        value={value ?? ""}
        empty={t("check.pick")}
        options={pick.options}
        onPick={put}
      />
    );
  }
  return <Choice label={pick.label} options={pick.options} value={value} onPick={put} />;
}

/** Out of the usual is not refused: it asks for a word, once the number can be whole. */
export function UnusualReason({ form }: { form: AnyReading }) {
  const typedIn = useTypedIn();
  const isAsked = form.draft.reason !== "" || form.missing === t("check.reason_needed");
  const [first] = form.unusual.filter(({ name }) => isAsked || name !== typedIn);
  if (!first) return null;
  return (
    <TextField
      label={t("check.reason")}
      hint={t("check.reason_hint", { name: first.label })}
      value={form.draft.reason}
      onInput={(reason) => form.change({ reason })}
    />
  );
}
