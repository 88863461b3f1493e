import { useEffect, useRef } from "preact/hooks";
import { Choice } from "../../components/Choice";
import { NumberField } from "../../components/NumberField";
import { TextField } from "../../components/TextField";
import { t } from "../../text";
import { problemWords } from "./problem-words";
import { CURRENTS, type FieldName, hasVoltages, VOLTAGES } from "./supply";
import type { SupplyForm } from "./useSupply";

type Props = { form: SupplyForm };

function problemOf(name: FieldName, { form }: Props): string | undefined {
  if (form.wrong.includes(name)) return t("number.not_a_number");
  if (form.live.kind !== "problem" || form.live.problem.field !== name) return undefined;
  if (form.live.problem.code === "contradictory") return undefined;
  return problemWords(form.live.problem);
}

function Quantity({ form, name, unit }: Props & { name: FieldName; unit: string }) {
  return (
    <NumberField
      name={name}
      label={t(`supply.${name}`)}
      unit={unit}
      text={form.value.text[name] ?? ""}
      error={problemOf(name, { form })}
      onText={(text) => form.change((now) => ({ text: { ...now.text, [name]: text } }))}
    />
  );
}

export function Voltages({ form }: Props) {
  const box = useRef<HTMLDivElement>(null);
  useEffect(() => {
    // The first press on this screen is a digit, not a field.
    if (form.ready && !hasVoltages(form.value)) box.current?.querySelector("input")?.focus();
  }, [form.ready]);
  return (
    <div ref={box}>
      {VOLTAGES.map((name) => (
        <Quantity key={name} form={form} name={name} unit="V" />
      ))}
    </div>
  );
}

export function Currents({ form }: Props) {
  if (form.value.currents === "hidden") return null;
  return (
    <div>
      {CURRENTS.map((name) => (
        <Quantity key={name} form={form} name={name} unit="A" />
      ))}
    </div>
  );
}

export function RotationChoice({ form }: Props) {
  return (
    <Choice
      label={t("supply.rotation")}
      labelled="spoken"
      value={form.value.rotation}
      onPick={(rotation) => form.change({ rotation })}
      options={[
        { value: "forward", label: t("supply.forward") },
        { value: "reverse", label: t("supply.reverse") },
        { value: "not_measured", label: t("supply.not_measured") },
      ]}
    />
  );
}

/** Out of the usual is not refused: it asks for a word. */
export function Reason({ form }: Props) {
  if (!form.isUnusual) return null;
  return (
    <TextField
      label={t("supply.reason")}
      hint={t("supply.reason_hint")}
      value={form.value.reason}
      onInput={(reason) => form.change({ reason })}
    />
  );
}
