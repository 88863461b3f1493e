import { expect, test, vi } from "vitest";
import { benWithAPhone } from "../testing/phone";
import { FakeServer } from "../testing/server";
import { until } from "../testing/until";
import { sendBytes } from "./tus";

/** What the library would send, and how it is told of an answer. */
const { begun, DetailedError } = vi.hoisted(() => {
  class DetailedError extends Error {
    constructor(readonly originalResponse: { getStatus: () => number } | null) {
      super("invented");
    }
  }
  type Options = { onError: (problem: Error) => void; onSuccess: () => void };
  const begun: { options: Options; isAborted: boolean; url: string | null }[] = [];
  return { begun, DetailedError };
});

vi.mock("tus-js-client", () => ({
  DetailedError,
  Upload: class {
    url: string | null = null;
    constructor(
      _blob: Blob,
      private readonly options: (typeof begun)[number]["options"],
    ) {}
    start() {
      begun.push({ options: this.options, isAborted: false, url: this.url });
    }
    async abort() {
      for (const mine of begun) {
        mine.isAborted = true;
      }
    }
  },
}));

type Begun = { signal?: AbortSignal; server?: FakeServer };

async function begin({ signal, server = new FakeServer() }: Begun = {}) {
  begun.length = 0;
  const { line } = await benWithAPhone(server);
  const wire = { ...line.wire, ...(signal ? { signal } : {}) };
  return sendBytes({
    photo_id: "p1",
    blob: new Blob(["a picture"]),
    isResumed: false,
    line: { ...line, wire },
  });
}

test.each([
  [null, "later"],
  [200, "later"],
  [401, "signed_out"],
  [404, "kept"],
  [413, "kept"],
  [423, "not_now"],
  [500, "not_now"],
  [503, "not_now"],
])("an upload that is answered with %s ends as %s", async (status, wanted) => {
  const sending = begin();
  await until(() => begun.length === 1);

  begun[0]?.options.onError(new DetailedError(status ? { getStatus: () => status } : null));

  expect(await sending).toBe(wanted);
});

test("a round that was cut off before the photo's turn sends nothing of it", async () => {
  const ended = await begin({ signal: AbortSignal.abort() });

  expect(ended).toBe("later");
  expect(begun).toEqual([]);
});

test("a round that is cut off stops the photo under way, and lets go of its signal", async () => {
  const cut = new AbortController();
  const heard = vi.spyOn(cut.signal, "removeEventListener");
  const sending = begin({ signal: cut.signal });
  await until(() => begun.length === 1);

  cut.abort();

  expect(await sending).toBe("later");
  expect(begun[0]?.isAborted).toBe(true);
  expect(heard).toHaveBeenCalledOnce();
});

test("a piece without an answer on a line that answers is asked after, not waited for", async () => {
  vi.useFakeTimers({ toFake: ["setTimeout", "clearTimeout"] });
  const server = new FakeServer();
  let isMute = true;
  server.before = () => (isMute ? "cut" : undefined);
  const sending = begin({ server });
  await until(() => begun.length === 1);

  await vi.advanceTimersByTimeAsync(20_000);
  const whileMute = begun.length;
  isMute = false;
  await vi.advanceTimersByTimeAsync(3_500);

  expect(whileMute).toBe(1);
  expect(begun).toMatchObject([
    { url: null, isAborted: true },
    { url: "/api/photos/uploads/p1", isAborted: false },
  ]);
  begun[1]?.options.onSuccess();
  expect(await sending).toBe("stored");
  expect(vi.getTimerCount()).toBe(0);
  vi.useRealTimers();
});
