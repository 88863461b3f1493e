/**
 * What the browser gives to one tab: clock, disk, line, lock, other tabs. Nothing of the app is
 * replaced; it finds these under the names that a browser has for them.
 */
import { createHash } from "node:crypto";
import { IDBKeyRange } from "fake-indexeddb";
import type { Chance } from "./chance.ts";
import type { Booking } from "./clock.ts";
import type { Device } from "./device.ts";
import type { Tab } from "./tab.ts";
import { type Events, fetchOf, requestOf } from "./web.ts";

export function browserOf(tab: Tab): Record<string, unknown> {
  const { device } = tab;
  const own: Record<string, unknown> = {
    Promise,
    Date: dateOf(device),
    Math: mathOf(device.chance),
    crypto: cryptoOf(device.random),
    indexedDB: device.disk.factory,
    IDBKeyRange,
    fetch: fetchOf(tab),
    XMLHttpRequest: requestOf(tab),
    AbortSignal: signalsOf(tab),
    BroadcastChannel: channelOf(tab),
    navigator: Object.assign(tab.isOnline, { userAgent: "", locks: locksOf(tab) }),
    document: tab.document,
    location: { pathname: "/" },
    localStorage: new Map(),
    reportError: (problem: unknown) => tab.report(problem),
    ...timersOf(tab),
    ...listening(tab.events),
  };
  const all = Object.create(globalThis, Object.getOwnPropertyDescriptors(own));
  for (const name of ["globalThis", "self", "window"]) {
    Object.defineProperty(all, name, { value: all });
  }
  return all;
}

function listening(events: Events) {
  return {
    addEventListener: (type: string, heard: () => void) => events.on(type, heard),
    removeEventListener: () => undefined,
  };
}

/** Of a phone whose clock is wrong by some hours, or by a year. */
function dateOf(device: Device): DateConstructor {
  return class extends Date {
    constructor(...given: [number]) {
      super(...(given.length > 0 ? given : ([device.date_ms()] as [number])));
    }
    static override now(): number {
      return device.date_ms();
    }
  } as DateConstructor;
}

function mathOf(chance: Chance): Math {
  return Object.create(Math, { random: { value: () => chance.part() } });
}

/** Random bytes differ in each run, so that ids do; what happens never hangs on them. */
function cryptoOf(random: Chance) {
  return {
    getRandomValues: (bytes: Uint8Array) => {
      for (let place = 0; place < Math.min(bytes.length, 32); place += 1) {
        bytes[place] = random.whole(0, 255);
      }
      return bytes;
    },
    subtle: {
      digest: async (_kind: string, bytes: Uint8Array) =>
        Uint8Array.from(createHash("sha256").update(bytes).digest()).buffer,
    },
  };
}

function timersOf(tab: Tab) {
  const clear = (booking?: Booking) => {
    if (booking) {
      booking.isOff = true;
    }
  };
  return {
    setTimeout: (work: () => void, ms = 0) => tab.after(ms, work),
    clearTimeout: clear,
    setInterval: () => {
      throw new Error("the app sets no intervals");
    },
    clearInterval: clear,
  };
}

function signalsOf(tab: Tab) {
  const timeout = (ms: number) => {
    const controller = new AbortController();
    tab.after(ms, () => controller.abort());
    return controller.signal;
  };
  const any = (signals: AbortSignal[]) => {
    const controller = new AbortController();
    for (const signal of signals) {
      signal.addEventListener("abort", () => controller.abort());
      if (signal.aborted) {
        controller.abort();
      }
    }
    return controller.signal;
  };
  return { timeout, any };
}

/** Reaches the other tabs of the same phone. */
function channelOf(tab: Tab) {
  return class {
    onmessage: ((event: { data: unknown }) => void) | null = null;
    constructor(readonly name: string) {
      tab.channels.push(this);
    }
    postMessage(data: unknown): void {
      const sent = structuredClone(data);
      for (const other of tab.device.tabs.filter((one) => one !== tab)) {
        for (const channel of other.channels.filter(({ name }) => name === this.name)) {
          tab.device.tasks.push(() => other.isOpen && channel.onmessage?.({ data: sent }));
        }
      }
    }
  };
}

type Work = (lock: object | null) => Promise<unknown>;

/** Held by one tab of the phone; it lets go when its work has ended or the tab is closed. */
function locksOf(tab: Tab) {
  return {
    request: async (name: string, _options: object, work: Work): Promise<unknown> => {
      const { locks } = tab.device;
      if (locks.has(name)) {
        return await work(null);
      }
      locks.set(name, tab);
      try {
        return await work({ name });
      } finally {
        locks.delete(name);
      }
    },
  };
}
