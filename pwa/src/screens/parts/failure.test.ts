import { expect, test } from "vitest";
import { failureWords, troubleBesidePhotos, troubleWords } from "./failure";

test("what is too much for one change is said with its limit", () => {
  const words = failureWords({ ok: false, code: "invalid", fields: { size: "too_long" } });

  expect(words).toContain("1 MB");
});

test("of what broke off it is said that nothing is lost", () => {
  expect(failureWords({ ok: false, code: "broken_off" })).toBe(
    "It could not be saved. What you typed is kept here.",
  );
});

test("of what had no room in the draft either it is never said that it is kept", () => {
  const full = { ok: false, code: "disk_full" } as const;
  const rooms = ["kept", "full"] as const;

  const alone = rooms.map((room) => troubleWords(full, { room }));
  const besidePhotos = rooms.map((room) => troubleBesidePhotos(full, { room }));

  expect(alone).toEqual([
    expect.stringContaining("what you typed is kept here"),
    expect.stringContaining("on this screen and nowhere else"),
  ]);
  expect(besidePhotos).toEqual([expect.stringContaining("what you typed is kept here"), undefined]);
});
