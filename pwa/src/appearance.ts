/** How this phone likes to look: day, dark or sun, and for which hand. Kept on the phone, works offline. */
import { effect } from "@preact/signals";
import { leftHanded, mode } from "./local/session";

/** The same grounds as in styles/tokens.css, for the bar that the system draws above the app. */
const GROUNDS = { day: "#F7F4EE", dark: "#141311", sun: "#FFFFFF" };

export function applyAppearance(): void {
  const root = document.documentElement;
  effect(() => {
    if (mode.value === "auto") {
      delete root.dataset["mode"];
    } else {
      root.dataset["mode"] = mode.value;
    }
    paintSystemBar();
  });
  effect(() => {
    root.dataset["hand"] = leftHanded.value ? "left" : "right";
  });
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", paintSystemBar);
}

function paintSystemBar(): void {
  const isDark = matchMedia("(prefers-color-scheme: dark)").matches;
  const chosen = mode.peek() === "auto" ? (isDark ? "dark" : "day") : mode.peek();
  const bar = document.querySelector<HTMLMetaElement>('meta[name="theme-color"]');
  bar?.setAttribute("content", GROUNDS[chosen as keyof typeof GROUNDS]);
}
