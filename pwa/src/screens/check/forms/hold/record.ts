/** A hold as it is recorded: all its readings, and what was set up for them. */
import { fromSi, unitOf } from "../../../../format/units";
import type { Entered } from "../../../../local/rows";
import {
  ENDED,
  type Hold,
  inOrder,
  OF_POINT,
  type Point,
  pointsOf,
} from "../../../../queries/holds";
import { known } from "../../../parts/reading/entry";

/** What holds for all readings of a hold: volume, limits, what the instruments can tell. */
export type Setup = { si: Record<string, unknown>; typed: Entered };

export type HoldRecord = { inputs: Record<string, unknown>; entered: Entered };

const isOfPoint = (name: string) => name.startsWith("readings[");

export function setupOf({ tip }: Pick<Hold, "tip">): Setup {
  const { readings: _, ...si } = tip.inputs;
  const typed = Object.entries(tip.entered).filter(([name]) => !isOfPoint(name) && name !== ENDED);
  return { si, typed: Object.fromEntries(typed) };
}

/**
 * What was set up, for these readings of the hold. Filling stays where it was when another reading becomes the
 * first: it was counted from the first one of the record that tells it, and two phones may each have their own.
 */
export function setupFor({ tip }: Pick<Hold, "tip">, points: Point[]): Setup {
  const setup = setupOf({ tip });
  const filled_t_s = setup.si["filled_t_s"];
  const [counted] = pointsOf(tip);
  const [first] = inOrder(points);
  if (typeof filled_t_s !== "number" || !counted || !first) return setup;
  const moved_s = secondsOf(counted) - secondsOf(first);
  return moved_s === 0 ? setup : filledAt(filled_t_s + moved_s, setup);
}

/** The end of filling on the clock of the readings, and as it was typed: how long before the first. */
export function filledAt(filled_t_s: number, { si, typed }: Setup): Setup {
  const minutes = fromSi(-filled_t_s, unitOf("minutes", { symbol: "min" }));
  const { text, unit } = known(Number(minutes.toFixed(1)), { unit: "min" });
  return {
    si: { ...si, filled_t_s },
    typed: { ...typed, filled_ago_s: { text, unit } },
  };
}

/** Seconds count from the first reading; the moments themselves go beside what was typed. */
export function recordOf(points: Point[], { si, typed }: Setup): HoldRecord {
  const ordered = inOrder(points);
  const start_ms = Date.parse(ordered[0]?.at ?? "");
  const readings = ordered.map((point) => ({
    t_s: (Date.parse(point.at) - start_ms) / 1000,
    ...point.si,
  }));
  const entered: Entered = { ...typed };
  ordered.forEach((point, at) => {
    for (const name of OF_POINT) entered[placed(at, name)] = { text: point[name], unit: "" };
    for (const [name, entry] of Object.entries(point.typed)) entered[placed(at, name)] = entry;
  });
  return { inputs: { ...si, readings }, entered };
}

export function placed(at: number | string, name: string): string {
  return `readings[${at}].${name}`;
}

/** With this reading in it: a new one, or one that takes the place of the mistaken one. */
export function withPoint(points: Point[], point: Point): Point[] {
  return inOrder([...points.filter((one) => one.id !== point.id), point]);
}

export function secondsOf({ at }: Point): number {
  return Date.parse(at) / 1000;
}
