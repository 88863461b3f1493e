/** What can take the focus in the group that a message stands under. */
const FOCUSABLE = 'input:not([tabindex="-1"]), button, select, textarea';

/**
 * After a form was refused: the first field that needs mending gets the focus
 * once it is drawn. A message under a group of choices leads to the group.
 */
export function focusFirstInvalid(root: ParentNode | null): void {
  requestAnimationFrame(() => {
    const found = root?.querySelector<HTMLElement>('[aria-invalid="true"], .field-error');
    const field = found?.matches(".field-error")
      ? found.previousElementSibling?.querySelector<HTMLElement>(FOCUSABLE)
      : found;
    found?.scrollIntoView({ block: "center" });
    field?.focus({ preventScroll: true });
  });
}
