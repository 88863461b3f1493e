import { StateShape } from "./StateShape";

/** What is wrong with a field, naming the field and the limit. */
export function FieldError({ id, children }: { id: string; children: string | undefined }) {
  if (!children) return null;
  return (
    <p class="field-error" id={id} role="alert">
      <StateShape state="fail" size="small" says="shape" />
      <span>{children}</span>
    </p>
  );
}
