import { afterEach, beforeEach, expect, test, vi } from "vitest";
import { Backoff } from "./backoff";
import { Drainer, type DrainerParts, type Locks, type RoundEnded, underLock } from "./drainer";

beforeEach(() => {
  vi.useFakeTimers();
});
afterEach(() => {
  vi.useRealTimers();
});

/** As the browser keeps it: one holder, and no waiting when told so. */
function oneLock(): Locks {
  let isHeld = false;
  const request = async (
    name: string,
    _options: LockOptions,
    work: (lock: Lock | null) => Promise<unknown>,
  ) => {
    if (isHeld) {
      return await work(null);
    }
    isHeld = true;
    try {
      return await work({ name, mode: "exclusive" });
    } finally {
      isHeld = false;
    }
  };
  return { request } as unknown as Locks;
}

function aDrainer(round: DrainerParts["round"]): Drainer {
  return new Drainer({
    round,
    isVisible: () => true,
    tell: () => undefined,
    backoff: new Backoff(() => 1),
  });
}

/** Its first round hangs while it holds the lock. */
function aDrainerThatHangsOnce(ends: RoundEnded[]): Drainer {
  const locks = oneLock();
  let rounds = 0;
  return aDrainer(async (signal) => {
    const ended = await underLock(locks, {
      name: "ben",
      signal,
      work: async () => {
        rounds += 1;
        return rounds === 1 ? await new Promise(() => undefined) : "done";
      },
    });
    ends.push(ended);
    return ended;
  });
}

test("two tabs of one person: one sends, the other looks again when it is done", async () => {
  const locks = oneLock();
  let sending = 0;
  const most = { sending: 0 };
  const ends: RoundEnded[] = [];
  const round = async () => {
    const ended = await underLock(locks, {
      name: "ben",
      work: async () => {
        sending += 1;
        most.sending = Math.max(most.sending, sending);
        await new Promise((resolve) => setTimeout(resolve, 1_000));
        sending -= 1;
        return "done";
      },
    });
    ends.push(ended);
    return ended;
  };
  const tabs = [aDrainer(round), aDrainer(round)];

  for (const tab of tabs) {
    tab.kick();
  }
  await vi.advanceTimersByTimeAsync(4_500);

  expect(most.sending).toBe(1);
  expect(ends).toEqual(["busy", "done", "done"]);
});

test("failures are tried again ever more slowly, at most 6 s apart, and at once when there is hope", async () => {
  const at: number[] = [];
  const start = Date.now();
  const drainer = aDrainer(async () => {
    at.push((Date.now() - start) / 1_000);
    return "later";
  });

  drainer.kick();
  await vi.advanceTimersByTimeAsync(40_000);
  expect(at).toEqual([0, 1, 3, 7, 13, 19, 25, 31, 37]);

  drainer.kick();
  await vi.advanceTimersByTimeAsync(3_000);
  expect(at.slice(-3)).toEqual([40, 41, 43]);
});

test("waiting is spread, so that phones do not come back in the same second", () => {
  const least = new Backoff(() => 0);
  const most = new Backoff(() => 1);

  expect([least.next(), most.next()]).toEqual([500, 1_000]);
});

test("something written during a round is sent by a round right after it", async () => {
  let rounds = 0;
  const drainer: Drainer = aDrainer(async () => {
    rounds += 1;
    if (rounds === 1) {
      drainer.kick();
    }
    return "done";
  });

  drainer.kick();
  await vi.advanceTimersByTimeAsync(10);

  expect(rounds).toBe(2);
});

test("a round that falls silent is cut off after 30 s and begun again", async () => {
  const signals: AbortSignal[] = [];
  const drainer = aDrainer(async (signal) => {
    signals.push(signal);
    return await new Promise(() => undefined);
  });

  drainer.kick();
  await vi.advanceTimersByTimeAsync(31_500);

  expect(signals.map((signal) => signal.aborted)).toEqual([true, false]);
});

test("a round that hangs while it holds the lock lets go of it, so that the next one can work", async () => {
  const ends: RoundEnded[] = [];
  const drainer = aDrainerThatHangsOnce(ends);

  drainer.kick();
  await vi.advanceTimersByTimeAsync(32_000);

  expect(ends).toEqual(["later", "done"]);
});

test("a round that is heard of is left alone", async () => {
  let rounds = 0;
  const drainer = aDrainer(async (_signal, alive) => {
    rounds += 1;
    for (let heard = 0; heard < 6; heard += 1) {
      await new Promise((resolve) => setTimeout(resolve, 20_000));
      alive();
    }
    return "done";
  });

  drainer.kick();
  await vi.advanceTimersByTimeAsync(115_000);

  expect(rounds).toBe(1);
});

test.each<[RoundEnded, string | null]>([
  ["later", "silent"],
  ["partly", "busy"],
  ["phone_full", "phone_full"],
  ["busy", null],
  ["done", null],
])("a round that ended as %s tells why it is stuck: %s", async (ended, stuck) => {
  const told: object[] = [];
  const drainer = new Drainer({
    round: async () => ended,
    isVisible: () => true,
    tell: (state) => told.push(state),
    backoff: new Backoff(() => 1),
  });

  drainer.kick();
  await vi.advanceTimersByTimeAsync(10);
  drainer.stop();

  expect(told).toContainEqual({ sending: false, stuck });
});

test.each<RoundEnded>(["partly", "phone_full"])(
  "what a round left undone as %s is tried again as soon as after a failure",
  async (ended) => {
    let rounds = 0;
    const drainer = aDrainer(async () => {
      rounds += 1;
      return ended;
    });

    drainer.kick();
    await vi.advanceTimersByTimeAsync(3_500);
    drainer.stop();

    expect(rounds).toBe(3);
  },
);

test("signed out is told, and the phone goes on asking now and then", async () => {
  const told: object[] = [];
  let rounds = 0;
  const drainer = new Drainer({
    round: async () => {
      rounds += 1;
      return "signed_out";
    },
    isVisible: () => true,
    tell: (state) => told.push(state),
  });

  drainer.kick();
  await vi.advanceTimersByTimeAsync(21_000);

  expect(told).toContainEqual({ signed_in: false });
  expect(rounds).toBe(2);
});

test("a hidden app leaves the timer alone", async () => {
  let rounds = 0;
  const drainer = new Drainer({
    round: async () => {
      rounds += 1;
      return "done";
    },
    isVisible: () => false,
    tell: () => undefined,
  });

  drainer.kick();
  await vi.advanceTimersByTimeAsync(600_000);

  expect(rounds).toBe(1);
});

test("a phone that changes its network leaves at once what still waits on the old one", async () => {
  const locks = oneLock();
  let rounds = 0;
  const drainer = aDrainer((signal) =>
    underLock(locks, {
      name: "ben",
      signal,
      work: async () => {
        rounds += 1;
        return rounds === 1 ? await new Promise(() => undefined) : "done";
      },
    }),
  );
  drainer.kick();
  await vi.advanceTimersByTimeAsync(5_000);
  const before = rounds;

  drainer.beginAnew();
  await vi.advanceTimersByTimeAsync(10);

  expect([before, rounds]).toEqual([1, 2]);
});

test("what needs the lock gets it from a round that is under way, and that comes again after it", async () => {
  const ends: RoundEnded[] = [];
  const drainer = aDrainerThatHangsOnce(ends);
  drainer.makeWay();
  await vi.advanceTimersByTimeAsync(10);
  const whenIdle = [...ends];
  drainer.kick();
  await vi.advanceTimersByTimeAsync(5_000);

  drainer.makeWay();
  await vi.advanceTimersByTimeAsync(10);

  expect(whenIdle).toEqual([]);
  expect(ends).toEqual(["later", "done"]);
});

test("a button that is pressed while nothing is under way cuts off nothing", async () => {
  const ends: boolean[] = [];
  const drainer = aDrainer(async (signal) => {
    await Promise.resolve();
    ends.push(signal.aborted);
    return "done";
  });

  drainer.beginAnew();
  await vi.advanceTimersByTimeAsync(10);

  expect(ends).toEqual([false]);
});

test("a tab that the system stops lets go of the lock, so that another can send", async () => {
  const locks = oneLock();
  const hang = () => new Promise<never>(() => undefined);
  const stopped = aDrainer((signal) => underLock(locks, { name: "ben", signal, work: hang }));
  const ends: RoundEnded[] = [];
  const other = aDrainer(async () => {
    const ended = await underLock(locks, { name: "ben", work: async () => "done" });
    ends.push(ended);
    return ended;
  });
  stopped.kick();
  await vi.advanceTimersByTimeAsync(10);

  stopped.cutOff();
  await vi.advanceTimersByTimeAsync(0);
  other.kick();
  await vi.advanceTimersByTimeAsync(10);

  expect(ends).toEqual(["done"]);
});

test("a round that ends after its person has left says nothing of the line of the next one", async () => {
  const told: object[] = [];
  const held = Promise.withResolvers<RoundEnded>();
  const drainer = new Drainer({
    round: () => held.promise,
    isVisible: () => true,
    tell: (state) => told.push(state),
  });
  drainer.kick();

  drainer.stop();
  held.resolve("later");
  await vi.advanceTimersByTimeAsync(60_000);

  expect(told).toEqual([{ sending: true }, { sending: false }]);
});

test("a round that was cut off before it had the lock does not hang in it", async () => {
  const cut = new AbortController();
  cut.abort();

  const ended = underLock(oneLock(), {
    name: "sync",
    signal: cut.signal,
    work: () => new Promise(() => undefined),
  });

  expect(await ended).toBe("later");
});
