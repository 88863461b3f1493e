import { expect, test } from "vitest";
import { clockOf, neededS } from "./hold-due";
import type { Hold } from "./holds";

const START_S = Date.parse("2026-11-25T14:00:00.000Z") / 1000;
const HOUR_S = 3600;
const at = (hours: number) => new Date((START_S + hours * HOUR_S) * 1000).toISOString();

function aHold(part: { hours: number[]; left_s?: number | null }): Hold {
  return {
    calculation: "pressure_hold",
    startedAt: at(0),
    points: part.hours.map((hours) => ({ at: at(hours) })),
    tip: { outputs: { hold_left_s: part.left_s }, inputs: {} },
  } as unknown as Hold;
}

test("a pressure hold says how much longer would settle it", () => {
  const hold = aHold({ hours: [0, 6], left_s: 14 * HOUR_S });

  const clock = clockOf(hold, { now_s: START_S + 16 * HOUR_S });

  expect(clock).toEqual({ elapsed_s: 16 * HOUR_S, left_s: 4 * HOUR_S, isDue: false });
});

test("a standing vacuum is due when the time that was asked for is over", () => {
  const hold = aHold({ hours: [0, 0.5], left_s: 0.5 * HOUR_S });

  expect(clockOf(hold, { now_s: START_S + 0.9 * HOUR_S }).isDue).toBe(false);
  expect(clockOf(hold, { now_s: START_S + 30 * HOUR_S })).toEqual({
    elapsed_s: 30 * HOUR_S,
    left_s: 0,
    isDue: true,
  });
});

test("a hold that was read after its time is not due again", () => {
  const hold = aHold({ hours: [0, 2], left_s: 0 });

  expect(clockOf(hold, { now_s: START_S + 3 * HOUR_S })).toMatchObject({ left_s: 0, isDue: false });
});

test("a pressure hold that is settled needs nothing more", () => {
  const hold = aHold({ hours: [0, 6], left_s: 0 });

  expect(clockOf(hold, { now_s: START_S + 7 * HOUR_S })).toMatchObject({
    left_s: 0,
    isDue: false,
  });
});

test.each([null, undefined, Number.POSITIVE_INFINITY])(
  "where nobody can say how long, nothing is promised (%s)",
  (left_s) => {
    const hold = aHold({ hours: [0], left_s: left_s as number });

    expect(neededS(hold)).toBeNull();
    expect(clockOf(hold, { now_s: START_S + HOUR_S })).toMatchObject({
      left_s: null,
      isDue: false,
    });
  },
);

test("a clock that was set back takes nothing from the hold", () => {
  const hold = aHold({ hours: [0, 6], left_s: 14 * HOUR_S });

  expect(clockOf(hold, { now_s: START_S + HOUR_S }).elapsed_s).toBe(6 * HOUR_S);
});
