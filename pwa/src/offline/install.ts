/** Putting the app on the home screen. Some browsers offer it on request, the others in their menu. */
import { type ReadonlySignal, signal } from "@preact/signals";
import { requestPersist } from "./storage";

type InstallEvent = Event & { prompt: () => Promise<{ outcome: "accepted" | "dismissed" }> };
/** `menu`: this browser installs only from its own menu. */
export type InstallState = "installed" | "ready" | "menu";

const state = signal<InstallState>("menu");
export const installState: ReadonlySignal<InstallState> = state;
let offer: InstallEvent | null = null;

export function watchInstall(): void {
  if (matchMedia("(display-mode: standalone)").matches) {
    state.value = "installed";
  }
  addEventListener("beforeinstallprompt", (event) => {
    // Kept until the person asks: a banner in the middle of a round is in the way.
    event.preventDefault();
    offer = event as InstallEvent;
    state.value = "ready";
  });
  addEventListener("appinstalled", () => {
    offer = null;
    state.value = "installed";
    // Installed apps are granted storage that is not cleared.
    void requestPersist();
  });
}

export async function offerInstall(): Promise<void> {
  await offer?.prompt();
  offer = null;
}
