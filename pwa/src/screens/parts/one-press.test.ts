import { afterEach, expect, test, vi } from "vitest";
import type { Result } from "../../local/result";
import { onePress } from "./one-press";

afterEach(() => vi.unstubAllGlobals());

const saved: Result = { ok: true, id: "i1" };
const full: Result = { ok: false, code: "disk_full" };

/** A press of a button, and how often it did something. */
function aButton(...ends: Result[]) {
  const press = onePress();
  const done: Result[] = [];
  const deed = async () => {
    const end = ends[done.length] ?? saved;
    done.push(end);
    return await Promise.resolve(end);
  };
  return { done, press: () => press(deed) };
}

test("pressed twice at once, it is done once", async () => {
  const button = aButton();

  const ends = await Promise.all([button.press(), button.press()]);

  expect(ends).toEqual([saved, null]);
  expect(button.done).toHaveLength(1);
});

test("pressed again while the next screen is on its way, it is not done again", async () => {
  const button = aButton();
  await button.press();

  expect(await button.press()).toBeNull();
  expect(button.done).toHaveLength(1);
});

test("what could not be done can be pressed again", async () => {
  const button = aButton(full);
  await button.press();

  expect(await button.press()).toEqual(saved);
  expect(button.done).toEqual([full, saved]);
});

test("what broke off is told, reported, and can be pressed again", async () => {
  const press = onePress();
  const broken = new Error("the store is closed");
  const report = vi.fn();
  vi.stubGlobal("reportError", report);

  const told = await press(() => Promise.reject(broken));

  expect(told).toEqual({ ok: false, code: "broken_off" });
  expect(report).toHaveBeenCalledExactlyOnceWith(broken);
  expect(await press(() => Promise.resolve(saved))).toEqual(saved);
});
