import { expect, test, vi } from "vitest";
import { benWithAPhone } from "../testing/phone";
import { FakeServer } from "../testing/server";
import { sendBytes } from "./tus";

/** What the library would send, and how it is told of an answer. */
const { begun, DetailedError } = vi.hoisted(() => {
  class DetailedError extends Error {
    constructor(readonly originalResponse: { getStatus: () => number } | null) {
      super("invented");
    }
  }
  type Options = { onError: (problem: Error) => void };
  const begun: { options: Options; isAborted: boolean }[] = [];
  return { begun, DetailedError };
});

vi.mock("tus-js-client", () => ({
  DetailedError,
  Upload: class {
    private readonly mine: (typeof begun)[number];
    constructor(_blob: Blob, options: (typeof begun)[number]["options"]) {
      this.mine = { options, isAborted: false };
    }
    start() {
      begun.push(this.mine);
    }
    abort() {
      this.mine.isAborted = true;
    }
  },
}));

async function begin(signal?: AbortSignal) {
  begun.length = 0;
  const { line } = await benWithAPhone(new FakeServer());
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
  await vi.waitFor(() => expect(begun).toHaveLength(1));

  begun[0]?.options.onError(new DetailedError(status ? { getStatus: () => status } : null));

  expect(await sending).toBe(wanted);
});

test("a round that was cut off before the photo's turn sends nothing of it", async () => {
  const ended = await begin(AbortSignal.abort());

  expect(ended).toBe("later");
  expect(begun).toEqual([]);
});

test("a round that is cut off stops the photo under way, and lets go of its signal", async () => {
  const cut = new AbortController();
  const heard = vi.spyOn(cut.signal, "removeEventListener");
  const sending = begin(cut.signal);
  await vi.waitFor(() => expect(begun).toHaveLength(1));

  cut.abort();

  expect(await sending).toBe("later");
  expect(begun[0]?.isAborted).toBe(true);
  expect(heard).toHaveBeenCalledOnce();
});
