import { afterEach, expect, test, vi } from "vitest";
import { noteDate } from "../sync/server_clock";
import { isPast, useNow } from "./now";

const TODAY = "Thu, 26 Nov 2026 12:00:00 GMT";
const TOMORROW = "2026-11-27T12:00:00.000Z";

afterEach(() => {
  vi.useRealTimers();
  vi.unstubAllGlobals();
});

test("a link is not over because this device is a year ahead, nor live because it is a year behind", () => {
  noteDate(new Response(null, { headers: { Date: TODAY } }));

  vi.setSystemTime("2027-11-26T12:00:00.000Z");
  expect(isPast(TOMORROW)).toBe(false);

  noteDate(new Response(null, { headers: { Date: "Sat, 28 Nov 2026 12:00:00 GMT" } }));
  vi.setSystemTime("2025-11-26T12:00:00.000Z");
  expect(isPast(TOMORROW)).toBe(true);
});

test("what time it is, is known to the first screen that asks, and to one that has slept", () => {
  vi.useFakeTimers();
  const page = new EventTarget();
  vi.stubGlobal("document", page);
  vi.setSystemTime("2026-11-27T06:00:00.000Z");
  const now = useNow();
  const first = now.value;

  vi.setSystemTime("2026-11-28T06:00:00.000Z");
  page.dispatchEvent(new Event("visibilitychange"));

  expect([first, now.value]).toEqual([
    Date.parse("2026-11-27T06:00:00.000Z") / 1000,
    Date.parse("2026-11-28T06:00:00.000Z") / 1000,
  ]);
});
