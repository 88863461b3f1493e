import { useId } from "preact/hooks";
import { t } from "../text";
import { FieldError } from "./FieldError";

type Props = {
  label: string;
  /** Exactly what was typed; it is never converted and never rounded. */
  text: string;
  onText: (text: string) => void;
  unit: string;
  /** Given when there is more than one unit to type in: pressing the suffix takes the next. */
  onUnit?: () => void;
  error?: string | undefined;
  name?: string;
};

/**
 * A number with its unit. The input is real (paste, external keyboards, tests),
 * but the phone's keyboard stays away: our own keypad types into it.
 */
export function NumberField({ label, text, onText, unit, onUnit, error, name }: Props) {
  const id = useId();
  return (
    <>
      <div class="number-field">
        <label for={id}>{label}</label>
        <input
          id={id}
          name={name}
          type="text"
          inputMode="none"
          autocomplete="off"
          enterkeyhint="next"
          data-number-field=""
          value={text}
          aria-invalid={error ? "true" : undefined}
          aria-describedby={`${id}-unit${error ? ` ${id}-error` : ""}`}
          onInput={(event) => onText(event.currentTarget.value)}
        />
        {onUnit ? (
          <button
            type="button"
            class="number-unit"
            id={`${id}-unit`}
            aria-label={t("number.change_unit", { unit })}
            onClick={onUnit}
          >
            {unit}
          </button>
        ) : (
          <span class="number-unit" id={`${id}-unit`}>
            {unit}
          </span>
        )}
      </div>
      {error && (
        <div class="number-field-note">
          <FieldError id={`${id}-error`}>{error}</FieldError>
        </div>
      )}
    </>
  );
}
