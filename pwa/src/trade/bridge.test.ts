import { beforeEach, expect, test, vi } from "vitest";
import type { Question } from "./messages";

/** Stands in for the browser's Worker, which Node has not; the test answers in its place. */
class QuietWorker extends EventTarget {
  static all: QuietWorker[] = [];
  asked: Question[] = [];

  constructor() {
    super();
    QuietWorker.all.push(this);
  }

  postMessage(question: Question) {
    this.asked.push(question);
  }

  terminate() {}

  say(data: object) {
    this.dispatchEvent(new MessageEvent("message", { data }));
  }

  die() {
    this.dispatchEvent(new Event("error"));
  }
}

function last<T>(list: T[]): T {
  const found = list.at(-1);
  if (found === undefined) throw new Error("nothing there");
  return found;
}

async function aBridge() {
  vi.resetModules();
  return await import("./bridge");
}

beforeEach(() => {
  QuietWorker.all = [];
  vi.stubGlobal("Worker", QuietWorker);
  vi.stubGlobal("location", new URL("https://phone.invalid/"));
});

test("answers find their questions in whatever order they come", async () => {
  const { compute } = await aBridge();
  const first = compute("supply_power", { nominal_v: 400 });
  const second = compute("round_order", {});
  const worker = last(QuietWorker.all);

  const [one, two] = worker.asked;
  worker.say({ id: two?.id, ok: true, text: '{"ok":true,"result":"second"}' });
  worker.say({ id: one?.id, ok: true, text: '{"ok":true,"result":"first"}' });

  expect(await first).toEqual({ ok: true, result: "first" });
  expect(await second).toEqual({ ok: true, result: "second" });
  expect(QuietWorker.all).toHaveLength(1);
  expect(one).toMatchObject({ name: "supply_power", text: '{"nominal_v":400}' });
});

test("an input that cannot be judged comes back as the engine's error", async () => {
  const { compute } = await aBridge();
  const asked = compute("supply_power", {});
  const worker = last(QuietWorker.all);
  const error = { code: "missing", field: "v_ab_v", message: "v_ab_v is missing", limits: null };

  worker.say({
    id: last(worker.asked).id,
    ok: true,
    text: JSON.stringify({ ok: false, error }),
  });

  expect(await asked).toEqual({ ok: false, error });
});

test("a worker that dies is started again and asked again", async () => {
  const { compute } = await aBridge();
  const asked = compute("round_order", {});

  last(QuietWorker.all).die();
  const second = last(QuietWorker.all);
  second.say({ id: last(second.asked).id, ok: true, text: '{"ok":true,"result":1}' });

  expect(QuietWorker.all).toHaveLength(2);
  expect(await asked).toEqual({ ok: true, result: 1 });
});

test("an engine that never runs is told as such, and the next question tries afresh", async () => {
  const { compute, engineVersion } = await aBridge();
  const asked = compute("round_order", {});

  last(QuietWorker.all).die();
  last(QuietWorker.all).die();

  expect(await asked).toMatchObject({ ok: false, error: { code: "engine_failed" } });
  const version = engineVersion();
  const fresh = last(QuietWorker.all);
  fresh.say({ id: last(fresh.asked).id, ok: true, text: "1.0.0" });
  expect(await version).toBe("1.0.0");
});

test("a failure inside the engine is told without its script", async () => {
  const { compute } = await aBridge();
  const asked = compute("round_order", {});
  const worker = last(QuietWorker.all);

  worker.say({ id: last(worker.asked).id, ok: false, message: "MemoryError" });

  expect(await asked).toMatchObject({
    ok: false,
    error: { code: "engine_failed", message: "MemoryError" },
  });
});
