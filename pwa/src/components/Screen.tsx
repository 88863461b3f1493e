import type { ComponentChildren } from "preact";
import { useEffect, useLayoutEffect } from "preact/hooks";

type Props = {
  /** Name of the screen in the browser's title and for people who listen. */
  name: string;
  top: ComponentChildren;
  bottom?: ComponentChildren;
  /** "column" for a phone, "wide" for the dispatcher's desk. */
  width?: "column" | "wide";
  /** The bottom bar holds a keypad: a sunk ground, so that the keys stand out. */
  ground?: "plain" | "keypad";
  /** What stands here is being saved: it takes no input until that has ended. */
  busy?: boolean;
  children: ComponentChildren;
};

/** Where the focus was, it is again, unless it has gone elsewhere: what is inert loses it. */
function useFocusAfter(busy: boolean) {
  useLayoutEffect(() => {
    const held = document.activeElement;
    if (!busy || !(held instanceof HTMLElement)) return;
    return () => {
      if (document.activeElement === document.body) held.focus({ preventScroll: true });
    };
  }, [busy]);
}

/** One screen: top bar, what is read, and the actions under the thumb. */
export function Screen({ name, top, bottom, children, ...looks }: Props) {
  const { width = "column", ground = "plain", busy = false } = looks;
  useFocusAfter(busy);
  useEffect(() => {
    document.title = name;
  }, [name]);
  return (
    <div class={width === "wide" ? "screen screen-wide" : "screen"}>
      <header>{top}</header>
      <main class="screen-body" inert={busy}>
        {children}
      </main>
      {bottom && (
        <footer
          class={`screen-bottom${ground === "keypad" ? " screen-bottom-keypad" : ""}`}
          inert={busy}
        >
          {bottom}
        </footer>
      )}
    </div>
  );
}
