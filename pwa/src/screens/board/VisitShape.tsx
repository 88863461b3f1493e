/** A visit is a box wherever it is told: on the calendar and beside its words. */
export function VisitShape({ size = "normal" }: { size?: "normal" | "small" }) {
  const small = size === "small" ? " state-shape-small" : "";
  return (
    <svg class={`state-shape${small}`} viewBox="0 0 24 24" aria-hidden="true">
      <rect class="plan-visit-booked" x="1" y="4" width="22" height="16" rx="4" />
    </svg>
  );
}
