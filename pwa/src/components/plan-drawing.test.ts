import { expect, test } from "vitest";
import { barKind, drawPlan, type PlanBars, type PlanWork, worksBefore } from "./plan-drawing";

const zone = "America/Chicago";
const at = (iso: string) => Date.parse(iso) / 1000;
const now_s = at("2026-11-25T14:00:00Z");

function work(
  id: string,
  from: string,
  to: string,
  calendar: "shift" | "clock" = "shift",
): PlanWork {
  return { id, kind: "repair", calendar, issue_id: id, start_s: at(from), finish_s: at(to) };
}

const plan: PlanBars = {
  schedule: [
    work("hold", "2026-11-25T20:00:00Z", "2026-11-26T20:00:00Z", "clock"),
    work("repair", "2026-11-25T14:00:00Z", "2026-11-25T18:00:00Z"),
    { ...work("visit", "2026-11-27T13:00:00Z", "2026-11-27T17:00:00Z"), kind: "visit" },
  ],
  ready_at: at("2026-11-26T20:00:00Z"),
  ready_at_best: at("2026-11-26T18:00:00Z"),
  ready_at_p80: at("2026-11-27T06:00:00Z"),
  visit_start_at: at("2026-11-27T13:00:00Z"),
  visit_s: { low: 3600, likely: 14_400, high: 20_000 },
  waits_for: [],
};

test("the calendar begins at midnight of the site and shows at least four days", () => {
  const drawing = drawPlan(plan, { zone, now_s, booked: null });

  expect(drawing.days.map((day) => day.date)).toEqual([
    "2026-11-25",
    "2026-11-26",
    "2026-11-27",
    "2026-11-28",
  ]);
  expect(drawing.days.map((day) => day.at)).toEqual([0, 25, 50, 75]);
});

test("a chain of work reads as a stair: each bar one lane below the one before", () => {
  const drawing = drawPlan(plan, { zone, now_s, booked: null });

  expect(drawing.bars.map((bar) => [bar.work.id, bar.lane])).toEqual([
    ["repair", 0],
    ["hold", 1],
  ]);
  expect(drawing.bars[1]?.width).toBe(25);
});

test("the hours of the visit are a box, not a bar, and a booked one takes its place", () => {
  const proposed = drawPlan(plan, { zone, now_s, booked: null });
  const booked = drawPlan(plan, {
    zone,
    now_s,
    booked: { starts_at: "2026-11-30T13:00:00.000Z", planned_s: 14_400 },
  });

  expect(worksBefore(plan).map((one) => one.id)).toEqual(["repair", "hold"]);
  expect(proposed.visit?.kind).toBe("proposed");
  expect(booked.visit?.kind).toBe("booked");
  expect(booked.days.length).toBe(6);
});

test("waiting for a promised day is neither work nor a hold; a broken promise is work again", () => {
  const repair = work("leak", "2026-11-25T14:00:00Z", "2026-11-27T22:00:00Z");
  const promised = (promised_at: number | null) => ({
    waits_for: [{ issue_id: "leak", promised_at }],
  });

  expect(barKind(repair, promised(repair.finish_s))).toBe("promise");
  expect(barKind(repair, promised(at("2026-11-20T22:00:00Z")))).toBe("work");
  expect(barKind(repair, promised(null))).toBe("work");
  expect(barKind({ ...repair, issue_id: null }, promised(repair.finish_s))).toBe("work");
  expect(drawPlan(plan, { zone, now_s, booked: null }).bars.map((bar) => bar.kind)).toEqual([
    "work",
    "hold",
  ]);
});

test("a plan without any day draws an empty calendar and names no day", () => {
  const drawing = drawPlan(
    {
      ...plan,
      schedule: [],
      ready_at: null,
      ready_at_best: null,
      ready_at_p80: null,
      visit_start_at: null,
    },
    { zone, now_s, booked: null },
  );

  expect(drawing).toMatchObject({ bars: [], best: null, spread: null, visit: null, lanes: 1 });
});
