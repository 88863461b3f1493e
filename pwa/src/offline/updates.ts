/**
 * A new version is fetched in the background and lies ready beside the running one. It takes over
 * only when the person says so, and only when no write is open; drafts are saved as they are typed,
 * so nothing that anybody typed is lost by the reload.
 */
import { type ReadonlySignal, signal } from "@preact/signals";
import { noOpenWrites } from "../local/open_writes";
import { scriptUrl } from "./trusted";

const ready = signal(false);
/** True when a new version lies ready on this phone. */
export const updateReady: ReadonlySignal<boolean> = ready;

/** An app that stays open for days should hear of a new version all the same. (P) */
const LOOK_AGAIN_MS = 3_600_000;
const SERVICE_WORKER = "/sw.js";

let waiting: ServiceWorker | null = null;
let isTaking = false;

export function startUpdates(): void {
  if (!("serviceWorker" in navigator) || !import.meta.env.PROD) {
    return;
  }
  let hadController = navigator.serviceWorker.controller !== null;
  navigator.serviceWorker.addEventListener("controllerchange", () => {
    // Also when another tab took the update: this one keeps running until its person says so.
    if (isTaking) {
      location.reload();
    } else {
      ready.value = hadController;
    }
    hadController = true;
  });
  register().catch(reportError);
}

async function register(): Promise<void> {
  const url = scriptUrl(SERVICE_WORKER);
  const registration = await navigator.serviceWorker.register(url, { scope: "/" });
  noteWaiting(registration.waiting);
  registration.addEventListener("updatefound", () => {
    const next = registration.installing;
    next?.addEventListener("statechange", () => {
      if (next.state === "installed" && navigator.serviceWorker.controller) {
        noteWaiting(next);
      }
    });
  });
  setInterval(() => registration.update().catch(() => undefined), LOOK_AGAIN_MS);
}

function noteWaiting(worker: ServiceWorker | null): void {
  if (worker) {
    waiting = worker;
    ready.value = true;
  }
}

/** Take the new version now. Waits for whatever is being saved. */
export async function applyUpdate(): Promise<void> {
  await noOpenWrites();
  if (!waiting) {
    location.reload();
    return;
  }
  isTaking = true;
  waiting.postMessage("take over");
}
