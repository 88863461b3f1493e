/** What a browser gives to the app, under Node: a disk in memory, and a line that is counted on. */
import { IDBFactory, IDBKeyRange } from "fake-indexeddb";
import type { Tab } from "../model/tab.ts";
import { fetchOf, requestOf } from "../model/web.ts";
import type { Wire } from "./wire.ts";

const nothing = () => undefined;

export function browserOf(wire: Wire): Record<string, unknown> {
  const tab = { device: { network: wire } } as unknown as Tab;
  const own: Record<string, unknown> = {
    Promise,
    crypto,
    indexedDB: new IDBFactory(),
    IDBKeyRange,
    fetch: fetchOf(tab),
    XMLHttpRequest: requestOf(tab),
    BroadcastChannel: SilentChannel,
    navigator: { onLine: true, userAgent: "", locks: { request: alone } },
    document: { visibilityState: "visible", addEventListener: nothing },
    location: { pathname: "/" },
    reportError: (problem: unknown) => {
      queueMicrotask(() => {
        throw problem;
      });
    },
    addEventListener: nothing,
    removeEventListener: nothing,
  };
  const all = Object.create(globalThis, Object.getOwnPropertyDescriptors(own));
  for (const name of ["globalThis", "self", "window"]) {
    Object.defineProperty(all, name, { value: all });
  }
  return all;
}

/** There is one tab, and so nobody to tell. */
class SilentChannel {
  onmessage = null;
  postMessage = nothing;
}

/** There is one tab, and so the lock is always free. */
async function alone(name: string, _options: object, work: (lock: object) => Promise<unknown>) {
  return await work({ name });
}
