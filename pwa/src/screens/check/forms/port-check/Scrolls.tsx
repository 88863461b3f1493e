import type { ComponentChildren } from "preact";

/** What is wider than the phone moves by itself and never the page; by keys as well. */
export function Scrolls({ label, children }: { label: string; children: ComponentChildren }) {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reached by keys too.
    <section class="scrolls" tabIndex={0} aria-label={label}>
      {children}
    </section>
  );
}
