import { expect, test, vi } from "vitest";
import { type Navigated, wentBackTo } from "./way-back";

function aHistory(paths: string[], { at }: { at: number }) {
  const traverseTo = vi.fn(() => ({ finished: Promise.resolve() }));
  const entries = paths.map((path, index) => ({
    key: `${index}`,
    index,
    url: `http://localhost${path}`,
    sameDocument: true,
  }));
  const navigation: Navigated = {
    currentEntry: entries[at] ?? null,
    entries: () => entries,
    traverseTo,
  };
  return { navigation, traverseTo };
}

test("a screen that lies behind is gone back to, with the system that was shown on it", () => {
  const paths = ["/", "/job/1?system=s2", "/job/1/supply/m1"];
  const { navigation, traverseTo } = aHistory(paths, { at: 2 });

  expect(wentBackTo("/job/1", navigation)).toBe(true);
  expect(traverseTo).toHaveBeenCalledWith("1");
});

test("a screen that lies ahead, or was never opened, is opened anew", () => {
  const { navigation, traverseTo } = aHistory(["/", "/job/1", "/job/1/round"], { at: 1 });

  expect(wentBackTo("/job/1/round", navigation)).toBe(false);
  expect(wentBackTo("/job/1/issues", navigation)).toBe(false);
  expect(traverseTo).not.toHaveBeenCalled();
});

test("a form of another unit is another screen", () => {
  const { navigation } = aHistory(["/job/1/log?unit=a", "/job/1"], { at: 1 });

  expect(wentBackTo("/job/1/log?unit=b", navigation)).toBe(false);
});

test("a browser that does not tell its history opens links as ever", () => {
  expect(wentBackTo("/job/1", undefined)).toBe(false);
});
