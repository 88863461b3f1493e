import { beforeEach, expect, test, vi } from "vitest";

/** A browser's side of it: one worker serves the page, one may be on its way, one may wait. */
class Worker extends EventTarget {
  told: unknown[] = [];
  constructor(public state: ServiceWorkerState) {
    super();
  }
  postMessage(words: unknown) {
    this.told.push(words);
  }
  become(state: ServiceWorkerState) {
    this.state = state;
    this.dispatchEvent(new Event("statechange"));
  }
}

class Registration extends EventTarget {
  installing: Worker | null = null;
  waiting: Worker | null = null;
  update = async () => undefined;
}

let registration: Registration;
let container: EventTarget & { controller: Worker | null };
let reload: ReturnType<typeof vi.fn<() => void>>;

beforeEach(() => {
  registration = new Registration();
  const register = async () => registration;
  container = Object.assign(new EventTarget(), { controller: new Worker("activated"), register });
  reload = vi.fn<() => void>();
  vi.stubEnv("PROD", true);
  vi.stubGlobal("navigator", { serviceWorker: container });
  vi.stubGlobal("location", {
    href: "https://site.invented/",
    origin: "https://site.invented",
    reload,
  });
  vi.useFakeTimers();
  vi.resetModules();
});

async function anOpenTab() {
  const updates = await import("./updates");
  updates.startUpdates();
  await vi.advanceTimersByTimeAsync(0);
  return updates;
}

function comes(worker: Worker) {
  registration.installing = worker;
  registration.dispatchEvent(new Event("updatefound"));
}

function isInstalled(worker: Worker) {
  registration.installing = null;
  registration.waiting = worker;
  worker.become("installed");
}

/** This tab, or another one, told it to. */
function takesOver(worker: Worker) {
  registration.waiting = null;
  container.controller = worker;
  worker.become("activating");
  container.dispatchEvent(new Event("controllerchange"));
}

test("a version that becomes ready while the app is open is told, and taken by a press", async () => {
  const { applyUpdate, updateReady } = await anOpenTab();
  const newer = new Worker("installing");
  comes(newer);
  const before = updateReady.value;
  isInstalled(newer);

  expect([before, updateReady.value]).toEqual([false, true]);
  await applyUpdate();
  expect(newer.told).toEqual(["take over"]);
  expect(reload).not.toHaveBeenCalled();
  takesOver(newer);
  expect(reload).toHaveBeenCalledOnce();
});

test("a version that was on its way before the app could listen is told once it is ready", async () => {
  const newer = new Worker("installing");
  registration.installing = newer;
  const { updateReady } = await anOpenTab();

  isInstalled(newer);

  expect(updateReady.value).toBe(true);
});

test("the first start of all is no new version", async () => {
  container.controller = null;
  const first = new Worker("installing");
  registration.installing = first;
  const { updateReady } = await anOpenTab();

  isInstalled(first);
  takesOver(first);

  expect(updateReady.value).toBe(false);
});

test("what another tab took is offered on, and a press begins anew with it", async () => {
  const newer = new Worker("installed");
  registration.waiting = newer;
  const { applyUpdate, updateReady } = await anOpenTab();

  takesOver(newer);

  expect(updateReady.value).toBe(true);
  expect(reload).not.toHaveBeenCalled();
  await applyUpdate();
  expect(newer.told).toEqual([]);
  expect(reload).toHaveBeenCalledOnce();
});

test("what another tab takes while this one still saves is begun with once that is saved", async () => {
  const newer = new Worker("installed");
  registration.waiting = newer;
  const { applyUpdate } = await anOpenTab();
  const { whileWriting: saving } = await import("../local/open_writes");
  let end = () => {};
  const saved = saving(() => new Promise<void>((resolve) => (end = resolve)));

  const applied = applyUpdate();
  takesOver(newer);
  const early = reload.mock.calls.length;
  end();
  await saved;
  await applied;

  expect(early).toBe(0);
  expect(reload).toHaveBeenCalledOnce();
});

test("what another tab took while this one still opened is offered too", async () => {
  const newer = new Worker("installed");
  const updates = await import("./updates");

  takesOver(newer);
  updates.startUpdates();
  await vi.advanceTimersByTimeAsync(0);

  expect(updates.updateReady.value).toBe(true);
});

test("the first version of all that takes over while the app still opens is no new one, and the next is", async () => {
  container.controller = null;
  const updates = await import("./updates");

  takesOver(new Worker("installed"));
  updates.startUpdates();
  await vi.advanceTimersByTimeAsync(0);
  const first = updates.updateReady.value;
  takesOver(new Worker("installed"));

  expect([first, updates.updateReady.value]).toEqual([false, true]);
});
