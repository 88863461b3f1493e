import { expect, test } from "vitest";
import type { Share } from "../local/rows";
import { MOST_POINTS, markFrom, pathOf, shareAt } from "./marks";

const size = { width_px: 2000, height_px: 1000 };

test("a place on the picture is kept as shares of its sides, and beyond it is its edge", () => {
  expect(shareAt({ x: 500, y: 250 }, size)).toEqual([0.25, 0.25]);
  expect(shareAt({ x: -40, y: 1200 }, size)).toEqual([0, 1]);
});

test("a drag with the arrow points where the finger left, with the ring it spans two corners", () => {
  const path: Share[] = [
    [0.1, 0.1],
    [0.3, 0.9],
    [0.5, 0.5],
  ];
  const ends = [path[0], path[2]];

  expect(markFrom(path, { tool: "arrow", size })).toEqual({ tool: "arrow", points: ends });
  expect(markFrom(path, { tool: "ring", size })).toEqual({ tool: "ring", points: ends });
});

test("a tap is enough: an arrow that ends there, a round ring around it, and no dot", () => {
  const tap: Share[] = [
    [0.5, 0.5],
    [0.505, 0.5],
  ];

  expect(markFrom(tap, { tool: "arrow", size })?.points[1]).toEqual([0.505, 0.5]);
  expect(markFrom([[0.5, 0.5]], { tool: "ring", size })?.points).toEqual([
    [0.41, 0.32],
    [0.59, 0.68],
  ]);
  expect(markFrom(tap, { tool: "line", size })).toBeUndefined();
  expect(markFrom([], { tool: "arrow", size })).toBeUndefined();
});

test("an arrow tapped into any corner lies within the picture", () => {
  for (const at of [
    [0, 0],
    [0, 1],
    [1, 0],
    [1, 1],
  ] satisfies Share[]) {
    const [tail, tip] = markFrom([at], { tool: "arrow", size })?.points ?? [];

    expect(tip).toEqual(at);
    expect(tail?.every((share) => share > 0.02 && share < 0.98)).toBe(true);
  }
});

test("a straight line drawn slowly is two points; a corner stays where it was", () => {
  const straight = Array.from({ length: 200 }, (_, n): Share => [n / 400, 0.5]);
  const corner = [...straight, ...straight.map(([x]): Share => [0.4975, 0.5 + x / 2])];

  expect(markFrom(straight, { tool: "line", size })?.points).toEqual([
    [0, 0.5],
    [0.4975, 0.5],
  ]);
  expect(markFrom(corner, { tool: "line", size })?.points).toHaveLength(3);
});

test("however long somebody scribbles, the line has no more points than are kept", () => {
  const scribble = Array.from({ length: 5000 }, (_, n): Share => {
    return [0.5 + 0.4 * Math.sin(n), 0.5 + 0.4 * Math.cos(n * 1.7)];
  });

  const line = markFrom(scribble, { tool: "line", size });

  expect(line?.points).toHaveLength(MOST_POINTS);
});

test("every mark is a path in pixels of the picture", () => {
  const ends: Share[] = [
    [0.5, 0.5],
    [0.75, 0.5],
  ];

  expect(pathOf({ tool: "line", points: ends }, size)).toBe("M1000.0 500.0L1500.0 500.0");
  expect(pathOf({ tool: "arrow", points: ends }, size)).toMatch(
    /^M1000\.0 500\.0L1500\.0 500\.0M1377\.1 567\.1L1500\.0 500\.0L1377\.1 432\.9$/,
  );
  expect(
    pathOf(
      {
        tool: "ring",
        points: [
          [0.5, 0.5],
          [0.25, 1],
        ],
      },
      size,
    ),
  ).toBe("M500.0 750.0A250.0 250.0 0 0 1 1000.0 750.0A250.0 250.0 0 0 1 500.0 750.0Z");
});

test("the head of a short arrow is no longer than half of it", () => {
  const short = pathOf(
    {
      tool: "arrow",
      points: [
        [0.5, 0.5],
        [0.53, 0.5],
      ],
    },
    size,
  );

  const head = /M([\d.]+) ([\d.]+)L1060\.0 500\.0L/.exec(short)?.slice(1).map(Number) ?? [];
  expect(Math.hypot(1060 - (head[0] ?? 0), 500 - (head[1] ?? 0))).toBeCloseTo(30, 0);
});

test("a mark that this version cannot draw is left out, not drawn wrong", () => {
  expect(pathOf({ tool: "arrow", points: [] }, size)).toBe("");
});
