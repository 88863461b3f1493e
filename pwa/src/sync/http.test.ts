import { afterEach, beforeEach, expect, test, vi } from "vitest";
import { ask } from "./http";

/** A line that takes this long for whatever it is given, as long as somebody waits. */
const lineOf =
  (seconds: number): typeof fetch =>
  (_path, init) =>
    new Promise((resolve, reject) => {
      setTimeout(() => resolve(Response.json({ answered: true })), seconds * 1_000);
      init?.signal?.addEventListener("abort", () => reject(init.signal?.reason));
    });

beforeEach(() => {
  vi.useFakeTimers({ toFake: ["setTimeout", "clearTimeout"] });
  vi.spyOn(AbortSignal, "timeout").mockImplementation((ms) => {
    const end = new AbortController();
    setTimeout(() => end.abort(new DOMException("", "TimeoutError")), ms);
    return end.signal;
  });
});

afterEach(() => {
  vi.restoreAllMocks();
  vi.useRealTimers();
});

test.each([
  { kB: 4, seconds: 24, isAnswered: true },
  { kB: 4, seconds: 28, isAnswered: false },
  { kB: 400, seconds: 120, isAnswered: true },
  { kB: 400, seconds: 130, isAnswered: false },
])("the file of a sheet is waited for by its size: $kB kB in $seconds s", async (one) => {
  const file = new File(["x".repeat(one.kB * 1_000)], "as built.xlsx");
  const form = new FormData();
  form.set("sheet", file);

  const asked = ask(
    { as: "device", fetch: lineOf(one.seconds) },
    { method: "POST", path: "/", form },
  );
  await vi.advanceTimersByTimeAsync(one.seconds * 1_000);

  expect((await asked).kind).toBe(one.isAnswered ? "ok" : "later");
});
