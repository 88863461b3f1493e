import type { ComponentChildren, RefObject } from "preact";
import { Notice } from "../../components/Notice";

type Props = {
  form: RefObject<HTMLFormElement | null>;
  look: string;
  /** Why it was not saved; what was typed is still there. */
  failure: string | null;
  children: ComponentChildren;
};

/** Our own messages beside the fields instead of the browser's bubbles. */
export function Form({ form, look, failure, children }: Props) {
  return (
    <form ref={form} class={look} noValidate onSubmit={(event) => event.preventDefault()}>
      {children}
      {failure && (
        <Notice kind="bad" urgency="now">
          <p>{failure}</p>
        </Notice>
      )}
    </form>
  );
}
