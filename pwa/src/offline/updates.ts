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

/** Whose app this tab runs. */
const controllerAtLoad = globalThis.navigator?.serviceWorker?.controller;

let registration: ServiceWorkerRegistration | null = null;
let isTaking = false;

export function startUpdates(): void {
  if (!("serviceWorker" in navigator) || !import.meta.env.PROD) {
    return;
  }
  const { controller } = navigator.serviceWorker;
  let hadController = controller !== null;
  // Another tab took the update before anybody listened here.
  ready.value = Boolean(controllerAtLoad) && controller !== controllerAtLoad;
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
  const found = await navigator.serviceWorker.register(url, { scope: "/" });
  registration = found;
  ready.value ||= found.waiting !== null;
  // One may have been on its way before anybody listened.
  follow(found.installing);
  found.addEventListener("updatefound", () => follow(found.installing));
  setInterval(() => found.update().catch(() => undefined), LOOK_AGAIN_MS);
}

/** The first one of all serves an app that is as new as itself. */
function follow(next: ServiceWorker | null): void {
  next?.addEventListener("statechange", () => {
    if (next.state === "installed" && navigator.serviceWorker.controller) {
      ready.value = true;
    }
  });
}

/** Take the new version now. Waits for whatever is being saved. */
export async function applyUpdate(): Promise<void> {
  await noOpenWrites();
  const waiting = registration?.waiting;
  if (!waiting) {
    // Another tab has taken it: it serves this one as soon as this one begins anew.
    location.reload();
    return;
  }
  isTaking = true;
  waiting.postMessage("take over");
}
