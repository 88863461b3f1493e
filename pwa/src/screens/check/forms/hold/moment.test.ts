import { expect, test } from "vitest";
import type { Point } from "../../../../queries/holds";
import { momentOf, typedTimeOf } from "./moment";

const ZONE = "America/Chicago";
const NOW = Date.parse("2026-11-26T15:30:00.000Z");
const aPoint = (at: string): Point => ({
  id: at,
  at,
  clock: "phone",
  by: "Ben",
  si: {},
  typed: {},
});
const LAST = aPoint("2026-11-25T22:00:00.000Z");
const asked = { typed: null, corrected: null, others: [LAST], now_ms: NOW, zone: ZONE };

test("a reading is made when the phone says so", () => {
  expect(momentOf(asked)).toEqual({ moment: { at: "2026-11-26T15:30:00.000Z", clock: "phone" } });
});

test("a clock that went back is not believed: the time is asked for", () => {
  const told = momentOf({ ...asked, now_ms: Date.parse("2026-11-25T20:00:00.000Z") });

  expect(told).toEqual({ moment: null, trouble: "clock_back" });
});

test("a reading begun within a second of the last one comes a second after it, as the engine wants", () => {
  const last_ms = Date.parse(LAST.at);
  const after = (ms: number) => momentOf({ ...asked, now_ms: last_ms + ms }).moment?.at;

  for (const ms of [-999, 0, 1, 999, 1000]) {
    expect(after(ms)).toBe("2026-11-25T22:00:01.000Z");
  }
  expect(after(-1000)).toBeUndefined();
  expect(after(1001)).toBe("2026-11-25T22:00:01.001Z");
});

test("the time of a reading made on paper is the one on the wall of the site", () => {
  const told = momentOf({ ...asked, typed: { date: "2026-11-26", time: "06:15" } });

  expect(told).toEqual({ moment: { at: "2026-11-26T12:15:00.000Z", clock: "typed" } });
});

test("a typed time later than the phone's clock is taken, with a word", () => {
  const told = momentOf({ ...asked, typed: { date: "2026-11-26", time: "11:00" } });

  expect(told).toMatchObject({ moment: { clock: "typed" }, doubt: "ahead" });
});

test("half a time is none, and two readings cannot have one moment", () => {
  const half = momentOf({ ...asked, typed: { date: "2026-11-26", time: "" } });
  const typed = { date: "2026-11-25", time: "16:00" };
  const taken = momentOf({ ...asked, typed });
  const near = momentOf({ ...asked, others: [aPoint("2026-11-25T22:00:00.400Z")], typed });

  expect(half).toEqual({ moment: null, trouble: "half" });
  expect(taken).toEqual({ moment: null, trouble: "taken" });
  expect(near).toEqual({ moment: null, trouble: "taken" });
});

test("a corrected reading keeps its moment", () => {
  const told = momentOf({ ...asked, corrected: LAST, others: [] });

  expect(told).toEqual({ moment: { at: LAST.at, clock: "phone" } });
});

test("a moment is offered on the clock of the site", () => {
  expect(typedTimeOf(NOW, { zone: ZONE })).toEqual({ date: "2026-11-26", time: "09:30" });
});
