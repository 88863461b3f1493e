import type { ComponentChildren } from "preact";

type Props = {
  kind?: "plain" | "good" | "bad" | "doubt";
  /** "now" is read aloud at once, "calm" when the person pauses. */
  urgency?: "now" | "calm";
  children: ComponentChildren;
};

export function Notice({ kind = "plain", urgency = "calm", children }: Props) {
  const look = kind === "plain" ? "" : ` notice-${kind}`;
  return (
    <div class={`notice${look}`} role={urgency === "now" ? "alert" : "status"}>
      <div class="notice-body">{children}</div>
    </div>
  );
}
