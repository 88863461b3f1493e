import { expect, test, vi } from "vitest";
import { uuid7 } from "./uuid7";

test("ids made within one millisecond sort in the order in which they were made", () => {
  const made = Array.from({ length: 5_000 }, () => uuid7());

  expect(made).toEqual(made.toSorted());
  expect(new Set(made).size).toBe(5_000);
});

test("an id has the version and the variant of UUIDv7", () => {
  expect(uuid7()).toMatch(/^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/);
});

test("ids go on rising when the phone's clock is set back an hour", () => {
  const before = uuid7();
  vi.useFakeTimers({ now: Date.now() - 3_600_000 });

  const after = uuid7();

  vi.useRealTimers();
  expect(after > before).toBe(true);
});
