/** A line that carries questions and no answers, and is not cut. */
import { afterEach, beforeEach, expect, test, vi } from "vitest";
import { anIssue, benWithAPhone, type Phone } from "../testing/phone";
import { FakeServer } from "../testing/server";
import { Drainer } from "./drainer";
import { silent } from "./http";
import { exchange } from "./round";
import { isHeard } from "./silence";

declare const setImmediate: (turn: (value?: unknown) => void) => void;

const HEALED_WITHIN_S = 10;

let server: FakeServer;
let ben: Phone;
let isMute: boolean;
/** How long the server takes to answer a push. */
let pushSeconds: number;
let drainer: Drainer;

/** While it is mute: what is asked arrives, its answer does not, and nobody closes the line. */
const muted: typeof fetch = async (path, init) => {
  const lost = isMute;
  const answer = await server.fetch(path, init);
  if (path === "/api/sync/push") {
    await later(pushSeconds, init?.signal);
  }
  return lost ? await never(init?.signal) : answer;
};

function never(signal: AbortSignal | null | undefined): Promise<never> {
  return new Promise((_, reject) => {
    signal?.addEventListener("abort", () => reject(signal.reason));
  });
}

function later(seconds: number, signal: AbortSignal | null | undefined): Promise<void> {
  return new Promise((resolve, reject) => {
    setTimeout(resolve, seconds * 1_000);
    signal?.addEventListener("abort", () => reject(signal.reason));
  });
}

/** The store needs turns of the real clock between those of the false one. */
async function pass(seconds: number): Promise<void> {
  for (let tenth = 0; tenth < seconds * 10; tenth += 1) {
    await vi.advanceTimersByTimeAsync(100);
    await new Promise(setImmediate);
  }
}

async function secondsUntilEmpty(): Promise<number> {
  for (let tenth = 0; tenth < 600; tenth += 1) {
    if ((await ben.store.outbox.count()) === 0) {
      return tenth / 10;
    }
    await pass(0.1);
  }
  return Number.POSITIVE_INFINITY;
}

beforeEach(async () => {
  silent.clear();
  vi.useFakeTimers({ toFake: ["setTimeout", "clearTimeout", "setInterval", "clearInterval"] });
  vi.spyOn(AbortSignal, "timeout").mockImplementation((ms) => {
    const end = new AbortController();
    setTimeout(() => end.abort(new DOMException("", "TimeoutError")), ms);
    return end.signal;
  });
  server = new FakeServer();
  ben = await benWithAPhone(server);
  isMute = false;
  pushSeconds = 0;
  const wire = { ...ben.line.wire, fetch: muted };
  drainer = new Drainer({
    round: (signal, alive) =>
      exchange({ ...ben.line, wire: { ...wire, signal, alive } }, { tell: () => undefined }),
    isVisible: () => true,
    tell: () => undefined,
  });
});

afterEach(() => {
  drainer.stop();
  vi.restoreAllMocks();
  vi.useRealTimers();
});

test.each([
  0.1, 2.3, 5.9, 6.1, 8.7, 11.9, 12.1, 17.6, 18.1, 21.4, 24.9, 25.3, 29.8, 34.4, 41, 49.5, 60, 61.7,
  63.4, 65.1, 66.8, 68.5, 70.2, 71.9, 73.6, 75.3, 77, 78.7, 80.4, 82.1, 83.8, 600,
])(
  "case 13: after %f s of silence the queue empties within 10 s, and what arrived meanwhile is there once",
  async (seconds) => {
    isMute = true;
    await anIssue({ jobId: "job-1" });
    drainer.kick();
    await pass(seconds);
    expect(await ben.store.outbox.count()).toBe(1);

    isMute = false;

    expect(await secondsUntilEmpty()).toBeLessThanOrEqual(HEALED_WITHIN_S);
    expect(server.rows).toHaveLength(1);
  },
);

test("many changes that wait on a silent line leave within half a minute of its coming back", async () => {
  isMute = true;
  for (let count = 0; count < 60; count += 1) {
    await anIssue({ jobId: "job-1", words: "x".repeat(10_000) });
  }
  drainer.kick();
  await pass(1);

  isMute = false;

  expect(await secondsUntilEmpty()).toBeLessThan(30);
  expect(server.rows).toHaveLength(60);
});

test("a server that needs 15 s for a push is given time, and asked twice more meanwhile", async () => {
  pushSeconds = 15;
  await anIssue({ jobId: "job-1" });
  drainer.kick();

  expect(await secondsUntilEmpty()).toBeLessThan(16);
  expect(server.pushes()).toHaveLength(3);
  expect(server.rows).toHaveLength(1);
});

test("what has much to send is not let go while a poor line carries it", async () => {
  pushSeconds = 20;
  await anIssue({ jobId: "job-1", words: "x".repeat(60_000) });
  drainer.kick();

  expect(await secondsUntilEmpty()).toBeLessThan(20 + HEALED_WITHIN_S);
  expect(server.pushes()).toHaveLength(1);
});

test("the largest job there is has the minutes that a poor line needs for it", async () => {
  pushSeconds = 200;
  await anIssue({ jobId: "job-1", words: "ä".repeat(450_000) });
  drainer.kick();
  await pass(200);

  expect(await secondsUntilEmpty()).toBeLessThan(HEALED_WITHIN_S);
  expect(server.pushes()).toHaveLength(1);
});

test("a round that was cut off asks nothing of the line, and sets no timer", async () => {
  const wire = { ...ben.line.wire, signal: AbortSignal.abort() };
  const timers = vi.getTimerCount();

  const heard = await isHeard(wire, { after_ms: 1_000, signal: new AbortController().signal });

  expect(heard).toBe(false);
  expect(vi.getTimerCount()).toBe(timers);
});

test("a line on which nothing was waited for in vain is asked nothing more than before", async () => {
  await anIssue({ jobId: "job-1" });
  drainer.kick();
  await pass(3);

  expect(await ben.store.outbox.count()).toBe(0);
  expect(server.log.filter(({ path }) => path === "/healthz")).toEqual([]);
});
