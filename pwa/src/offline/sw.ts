/// <reference lib="webworker" />
/**
 * The service worker: serves the whole app, engine included, from this phone. It knows nothing of
 * jobs; what is written and sent is the app's own (local/ and sync/). It never takes over by itself.
 */
import {
  cleanupOutdatedCaches,
  createHandlerBoundToURL,
  precacheAndRoute,
} from "workbox-precaching";
import { NavigationRoute, registerRoute } from "workbox-routing";
import { BACKGROUND_TAG, sendInBackground } from "../sync/background";

declare const self: ServiceWorkerGlobalScope & {
  __WB_MANIFEST: (string | { url: string; revision: string | null })[];
};
type SyncEvent = ExtendableEvent & { tag: string };

precacheAndRoute(self.__WB_MANIFEST);
cleanupOutdatedCaches();

/** Any address of the app is the app; only the server's own answers come from the server. */
registerRoute(
  new NavigationRoute(createHandlerBoundToURL("/index.html"), {
    denylist: [/^\/api\//, /^\/healthz$/, /^\/readyz$/],
  }),
);

self.addEventListener("message", (event) => {
  if (event.data === "take over") {
    event.waitUntil(self.skipWaiting());
  }
});

self.addEventListener("activate", (event) => {
  event.waitUntil(self.clients.claim());
});

/** A bonus where the browser has it: the app was closed with work waiting, and signal came back. */
self.addEventListener("sync", (event) => {
  const sync = event as SyncEvent;
  if (sync.tag === BACKGROUND_TAG) {
    sync.waitUntil(sendInBackground());
  }
});
