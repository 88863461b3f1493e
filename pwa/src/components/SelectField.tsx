import { useId } from "preact/hooks";
import { FieldError } from "./FieldError";

type Props = {
  label: string;
  value: string;
  options: readonly { value: string; label: string }[];
  onPick: (value: string) => void;
  /** Shown as the first line while nothing is chosen. */
  empty?: string;
  hint?: string;
  error?: string | undefined;
  name?: string;
};

/** One of a list that is too long for big targets: the device's own picker. */
export function SelectField({ label, value, options, onPick, empty, hint, error, name }: Props) {
  const id = useId();
  const described = [hint && `${id}-hint`, error && `${id}-error`].filter(Boolean).join(" ");
  return (
    <div class="field">
      <label for={id}>{label}</label>
      {hint && (
        <p class="field-hint" id={`${id}-hint`}>
          {hint}
        </p>
      )}
      <select
        id={id}
        name={name}
        class="text-input"
        value={value}
        aria-invalid={error ? "true" : undefined}
        aria-describedby={described || undefined}
        onChange={(event) => onPick(event.currentTarget.value)}
      >
        {empty !== undefined && <option value="">{empty}</option>}
        {options.map((option) => (
          <option key={option.value} value={option.value}>
            {option.label}
          </option>
        ))}
      </select>
      <FieldError id={`${id}-error`}>{error}</FieldError>
    </div>
  );
}
