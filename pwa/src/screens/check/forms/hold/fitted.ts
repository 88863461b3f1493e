/** The curve that the engine fitted to a standing vacuum, at the moments of the readings. */
import type { Point } from "../../../../queries/holds";
import type { Result } from "../../../parts/reading/useLive";
import type { VacuumLook } from "./drawing";
import { secondsOf } from "./record";

type Step = { t_s: number; fitted_pa: number | null };

export function fittedOf(result: Result | null, points: Point[]): VacuumLook[] {
  const [first] = points;
  const curve = (result?.["curve"] ?? []) as Step[];
  if (!first) return [];
  return curve.flatMap(({ t_s, fitted_pa }) =>
    fitted_pa === null ? [] : [{ at_s: secondsOf(first) + t_s, pressure_pa: fitted_pa }],
  );
}
