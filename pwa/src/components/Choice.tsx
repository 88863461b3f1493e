import { useId } from "preact/hooks";

export type Option<V extends string> = { value: V; label: string; hint?: string };

type Props<V extends string> = {
  label: string;
  options: readonly Option<V>[];
  value: V | null;
  onPick: (value: V) => void;
  /** "row" for two to four short words, "grid" for a list to look through. */
  layout?: "row" | "grid";
  /** "spoken" when a heading above says it already. */
  labelled?: "shown" | "spoken";
};

/** One of several: real radio buttons under big targets. */
export function Choice<V extends string>({
  label,
  options,
  value,
  onPick,
  layout = "row",
  labelled = "shown",
}: Props<V>) {
  const group = useId();
  return (
    <fieldset class={layout === "grid" ? "choice choice-grid" : "choice"}>
      <legend class={labelled === "spoken" ? "spoken" : undefined}>{label}</legend>
      <div class="choice-options">
        {options.map((option) => (
          <label key={option.value} class="choice-option">
            <input
              type="radio"
              name={group}
              value={option.value}
              checked={option.value === value}
              onChange={() => onPick(option.value)}
            />
            <span>{option.label}</span>
            {option.hint && <span class="choice-option-hint">{option.hint}</span>}
          </label>
        ))}
      </div>
    </fieldset>
  );
}

type ManyProps<V extends string> = {
  label: string;
  options: readonly Option<V>[];
  values: readonly V[];
  onChange: (values: V[]) => void;
};

/** Any number of several. */
export function Chips<V extends string>({ label, options, values, onChange }: ManyProps<V>) {
  return (
    <fieldset class="choice">
      <legend>{label}</legend>
      <div class="choice-options">
        {options.map(({ value, label: word }) => (
          <label key={value} class="choice-option">
            <input
              type="checkbox"
              value={value}
              checked={values.includes(value)}
              onChange={(event) =>
                onChange(
                  event.currentTarget.checked
                    ? [...values, value]
                    : values.filter((one) => one !== value),
                )
              }
            />
            <span>{word}</span>
          </label>
        ))}
      </div>
    </fieldset>
  );
}

type TickProps = { label: string; checked: boolean; onChange: (checked: boolean) => void };

export function Tick({ label, checked, onChange }: TickProps) {
  return (
    <label class="tick">
      <input
        type="checkbox"
        checked={checked}
        onChange={(event) => onChange(event.currentTarget.checked)}
      />
      <span>{label}</span>
    </label>
  );
}
