import { afterEach, expect, test, vi } from "vitest";
import { noteDate } from "../sync/server_clock";
import { isPast } from "./now";

const TODAY = "Thu, 26 Nov 2026 12:00:00 GMT";
const TOMORROW = "2026-11-27T12:00:00.000Z";

afterEach(() => {
  vi.useRealTimers();
});

test("a link is not over because this device is a year ahead, nor live because it is a year behind", () => {
  noteDate(new Response(null, { headers: { Date: TODAY } }));

  vi.setSystemTime("2027-11-26T12:00:00.000Z");
  expect(isPast(TOMORROW)).toBe(false);

  noteDate(new Response(null, { headers: { Date: "Sat, 28 Nov 2026 12:00:00 GMT" } }));
  vi.setSystemTime("2025-11-26T12:00:00.000Z");
  expect(isPast(TOMORROW)).toBe(true);
});
