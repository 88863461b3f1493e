import { useState } from "preact/hooks";
import { TextField } from "../../components/TextField";
import { decimalSeparator, parseEntry } from "../../format";
import { t } from "../../text";

type Props = {
  label: string;
  error: string | undefined;
  value: unknown;
  /** How much of what is stored one of what is typed is: 3600 where people type hours. */
  per: number;
  onEnter: (value: number | null) => void;
};

/** A number that is typed anew; while what stands there is none, what was there before is kept. */
export function NumberEntry({ label, error, value, per, onEnter }: Props) {
  const [typed, setTyped] = useState<string>();
  const shown = typeof value === "number" ? String(value / per) : "";
  const isNumber = typed === undefined || typed.trim() === "" || parseEntry(typed) !== null;
  const enter = (text: string) => {
    setTyped(text);
    const number = parseEntry(text);
    if (text.trim() === "") onEnter(null);
    else if (number !== null) onEnter(per === 1 ? number : Math.round(number * per));
  };
  return (
    <TextField
      label={label}
      error={isNumber ? error : t("attention.not_a_number")}
      value={typed ?? shown.replace(".", decimalSeparator())}
      onInput={enter}
    />
  );
}
