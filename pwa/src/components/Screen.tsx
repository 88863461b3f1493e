import type { ComponentChildren } from "preact";
import { useEffect } from "preact/hooks";

type Props = {
  /** Name of the screen in the browser's title and for people who listen. */
  name: string;
  top: ComponentChildren;
  bottom?: ComponentChildren;
  /** "column" for a phone, "wide" for the dispatcher's desk. */
  width?: "column" | "wide";
  /** The bottom bar holds a keypad: a sunk ground, so that the keys stand out. */
  ground?: "plain" | "keypad";
  children: ComponentChildren;
};

/** One screen: top bar, what is read, and the actions under the thumb. */
export function Screen({ name, top, bottom, width = "column", ground = "plain", children }: Props) {
  useEffect(() => {
    document.title = name;
  }, [name]);
  return (
    <div class={width === "wide" ? "screen screen-wide" : "screen"}>
      <header>{top}</header>
      <main class="screen-body">{children}</main>
      {bottom && (
        <footer class={`screen-bottom${ground === "keypad" ? " screen-bottom-keypad" : ""}`}>
          {bottom}
        </footer>
      )}
    </div>
  );
}
