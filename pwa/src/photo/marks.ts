/**
 * Marks drawn on a photo: what a finger did becomes a few points, and points become a path. Points
 * are shares of the picture's width and height, so that a mark sits right at every size; the
 * picture itself is never changed. Shapes and limits as in the server's marks.
 */
import type { Mark, MarkTool, Share } from "../local/rows";

export const MOST_MARKS = 40;
export const MOST_POINTS = 120;

export type Size = { width_px: number; height_px: number };

/** A finger that moved less than this, as a part of the longer side, has tapped. (P) */
const TAP_SHARE = 0.03;
/** What a tap draws: an arrow that ends there, or a ring around it. (P) */
const TAP_ARROW_SHARE = 0.16;
const TAP_RING_SHARE = 0.09;
/** The arrow's head: how long, how wide open, and never more than half of a short arrow. (P) */
const HEAD_SHARE = 0.07;
const HEAD_RAD = 0.5;
const HEAD_OF_ARROW = 0.5;
/** How far a drawn line may be smoothed, as a part of the longer side. (P) */
const SMOOTH_SHARE = 0.0015;
/** A ten-thousandth of a picture is less than a pixel of it. */
const STEPS = 10_000;

type Px = { x: number; y: number };

const longest = ({ width_px, height_px }: Size) => Math.max(width_px, height_px);
const toPx = ([x, y]: Share, { width_px, height_px }: Size): Px => ({
  x: x * width_px,
  y: y * height_px,
});
const apart = (a: Px, b: Px) => Math.hypot(a.x - b.x, a.y - b.y);

/** A place on the picture as it is kept: outside of it is its edge. */
export function shareAt({ x, y }: Px, size: Size): Share {
  const share = (value: number, whole: number) =>
    Math.round(Math.min(1, Math.max(0, value / whole)) * STEPS) / STEPS;
  return [share(x, size.width_px), share(y, size.height_px)];
}

/** What the finger has drawn so far, or nothing that could be seen. */
export function markFrom(path: Share[], { tool, size }: { tool: MarkTool; size: Size }) {
  const [first, last] = [path[0], path[path.length - 1]];
  if (!first || !last) {
    return undefined;
  }
  const start = toPx(first, size);
  const reach = Math.max(...path.map((point) => apart(start, toPx(point, size))));
  if (reach < TAP_SHARE * longest(size)) {
    return tapped(last, { tool, size });
  }
  const points = tool === "line" ? smoothed(path, size) : [first, last];
  return { tool, points } satisfies Mark;
}

/** A tap points at a place or rings it, for a hand in a glove that cannot drag. */
function tapped(at: Share, { tool, size }: { tool: MarkTool; size: Size }): Mark | undefined {
  const { x, y } = toPx(at, size);
  if (tool === "ring") {
    const r = TAP_RING_SHARE * longest(size);
    const corners = [-r, r].map((by) => shareAt({ x: x + by, y: y + by }, size));
    return { tool, points: corners };
  }
  if (tool === "arrow") {
    // From below, where the thumb is, and from the side that has room.
    const by = TAP_ARROW_SHARE * longest(size) * Math.SQRT1_2;
    const from = {
      x: x + (x > size.width_px / 2 ? -by : by),
      y: y + (y > size.height_px / 2 ? -by : by),
    };
    return { tool, points: [shareAt(from, size), at] };
  }
  return undefined;
}

type Span = { from: number; to: number; at: number; px: number };

/**
 * A line that looks the same with fewer points, after Ramer, Douglas and Peucker: the point farthest
 * from the chord stays. The worst span is split first, so that a scribble with more turns than are
 * kept loses its smallest ones.
 */
function smoothed(path: Share[], size: Size): Share[] {
  const places = path.map((point) => toPx(point, size));
  const kept = [0, path.length - 1];
  let spans = [farthest(places, { from: 0, to: path.length - 1 })];
  while (kept.length < MOST_POINTS) {
    const worst = spans.reduce((one, other) => (other.px > one.px ? other : one));
    if (worst.px <= SMOOTH_SHARE * longest(size)) {
      break;
    }
    kept.push(worst.at);
    spans = [
      ...spans.filter((span) => span !== worst),
      farthest(places, { from: worst.from, to: worst.at }),
      farthest(places, { from: worst.at, to: worst.to }),
    ];
  }
  return path.filter((_, index) => kept.includes(index));
}

function farthest(places: Px[], { from, to }: { from: number; to: number }): Span {
  const far = { from, to, at: from, px: 0 };
  const [a, b] = [places[from], places[to]];
  for (let at = from + 1; a && b && at < to; at += 1) {
    const px = toChord(places[at] ?? a, { a, b });
    if (px > far.px) {
      Object.assign(far, { at, px });
    }
  }
  return far;
}

function toChord(place: Px, { a, b }: { a: Px; b: Px }): number {
  const [dx, dy] = [b.x - a.x, b.y - a.y];
  const along = ((place.x - a.x) * dx + (place.y - a.y) * dy) / (dx * dx + dy * dy || 1);
  const part = Math.min(1, Math.max(0, along));
  return apart(place, { x: a.x + part * dx, y: a.y + part * dy });
}

/** The mark as an SVG path, in pixels of the picture. */
export function pathOf(mark: Mark, size: Size): string {
  const places = mark.points.map((point) => toPx(point, size));
  const [a, b] = [places[0], places[1]];
  if (!a || !b) {
    return "";
  }
  if (mark.tool === "ring") {
    return ringPath(a, b);
  }
  return mark.tool === "arrow" ? arrowPath({ tail: a, tip: b, size }) : linePath(places);
}

const words = ({ x, y }: Px) => `${x.toFixed(1)} ${y.toFixed(1)}`;
const linePath = (places: Px[]) => `M${places.map(words).join("L")}`;

function ringPath(a: Px, b: Px): string {
  const [rx, ry] = [Math.abs(a.x - b.x) / 2, Math.abs(a.y - b.y) / 2];
  const y = (a.y + b.y) / 2;
  const [left, right] = [Math.min(a.x, b.x), Math.max(a.x, b.x)].map((x) => words({ x, y }));
  const arc = `A${rx.toFixed(1)} ${ry.toFixed(1)} 0 0 1`;
  return `M${left}${arc} ${right}${arc} ${left}Z`;
}

function arrowPath({ tail, tip, size }: { tail: Px; tip: Px; size: Size }): string {
  const head = Math.min(HEAD_SHARE * longest(size), HEAD_OF_ARROW * apart(tail, tip));
  const back = Math.atan2(tail.y - tip.y, tail.x - tip.x);
  const [one, other] = [back - HEAD_RAD, back + HEAD_RAD].map((rad) => ({
    x: tip.x + head * Math.cos(rad),
    y: tip.y + head * Math.sin(rad),
  })) as [Px, Px];
  return `${linePath([tail, tip])}${linePath([one, tip, other])}`;
}
