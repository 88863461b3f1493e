import type { ComponentChildren } from "preact";
import { Icon } from "./Icon";

type Props = { title: string; children?: ComponentChildren };

/** Nothing here, why, and what would put something here. */
export function EmptyState({ title, children }: Props) {
  return (
    <div class="empty-state">
      <Icon name="nut" size={56} />
      <h2>{title}</h2>
      {children}
    </div>
  );
}
