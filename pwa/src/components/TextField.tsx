import { useId } from "preact/hooks";
import { FieldError } from "./FieldError";

type Shared = {
  label: string;
  value: string;
  onInput: (value: string) => void;
  hint?: string;
  error?: string | undefined;
  name?: string;
};
type OneLine = Shared & {
  type?: "text" | "email" | "password" | "search" | "date" | "time";
  autocomplete?: string;
  placeholder?: string;
};

function describedBy(id: string, { hint, error }: Pick<Shared, "hint" | "error">) {
  const parts = [hint && `${id}-hint`, error && `${id}-error`].filter(Boolean);
  return parts.length > 0 ? parts.join(" ") : undefined;
}

function Around({ id, of, children }: { id: string; of: Shared; children: preact.VNode }) {
  return (
    <div class="field">
      <label for={id}>{of.label}</label>
      {of.hint && (
        <p class="field-hint" id={`${id}-hint`}>
          {of.hint}
        </p>
      )}
      {children}
      <FieldError id={`${id}-error`}>{of.error}</FieldError>
    </div>
  );
}

export function TextField({ type = "text", autocomplete, placeholder, ...of }: OneLine) {
  const id = useId();
  return (
    <Around id={id} of={of}>
      <input
        id={id}
        class="text-input"
        {...{ type: type as "text" }}
        name={of.name}
        autocomplete={autocomplete ?? "off"}
        placeholder={placeholder}
        value={of.value}
        aria-invalid={of.error ? "true" : undefined}
        aria-describedby={describedBy(id, of)}
        onInput={(event) => of.onInput(event.currentTarget.value)}
      />
    </Around>
  );
}

export function TextArea(of: Shared) {
  const id = useId();
  return (
    <Around id={id} of={of}>
      <textarea
        id={id}
        class="text-input"
        rows={3}
        name={of.name}
        value={of.value}
        aria-invalid={of.error ? "true" : undefined}
        aria-describedby={describedBy(id, of)}
        onInput={(event) => of.onInput(event.currentTarget.value)}
      />
    </Around>
  );
}
