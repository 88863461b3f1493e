import type { ComponentChildren } from "preact";
import { Icon, type IconName } from "./Icon";

export type ButtonKind = "primary" | "plain" | "quiet" | "danger";

type Looks = { kind?: ButtonKind; icon?: IconName; children: ComponentChildren };
type Pressed = Looks & {
  onPress: () => void;
  /** Why it cannot be pressed now: stands under the word; the button stays in the tab order. */
  notYet?: string | undefined;
  type?: "button" | "submit";
  label?: string;
};

type Place = Looks & { href: string; label?: string };

function classOf(kind: ButtonKind): string {
  return kind === "plain" ? "button" : `button button-${kind}`;
}

export function Button({
  kind = "plain",
  icon,
  onPress,
  notYet,
  type = "button",
  label,
  children,
}: Pressed) {
  const blocked = notYet !== undefined;
  return (
    <button
      type={type}
      class={classOf(kind)}
      aria-disabled={blocked ? "true" : undefined}
      aria-label={label}
      onClick={(event) => {
        event.preventDefault();
        if (!blocked) onPress();
      }}
    >
      {icon && <Icon name={icon} />}
      <span>
        {children}
        {blocked && <span class="button-not-yet">{notYet}</span>}
      </span>
    </button>
  );
}

/** The same look for what is a place to go, not a thing to do. */
export function ButtonLink({ kind = "plain", icon, href, label, children }: Place) {
  return (
    <a class={classOf(kind)} href={href} aria-label={label}>
      {icon && <Icon name={icon} />}
      <span>{children}</span>
    </a>
  );
}

type IconOnly = { icon: IconName; label: string };

export function IconButton({ icon, label, onPress }: IconOnly & { onPress: () => void }) {
  return (
    <button
      type="button"
      class={`button icon-button icon-button-${icon}`}
      aria-label={label}
      onClick={onPress}
    >
      <Icon name={icon} />
    </button>
  );
}

export function IconLink({ icon, label, href }: IconOnly & { href: string }) {
  return (
    <a class={`button icon-button icon-button-${icon}`} href={href} aria-label={label}>
      <Icon name={icon} size={icon === "nut" ? 32 : 26} />
    </a>
  );
}
