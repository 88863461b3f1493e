/** What the engine expected of a tight circuit at each reading, and how sure that is. */
import type { Result } from "../../../parts/reading/useLive";
import type { PressureLook } from "./drawing";

type Expected = Pick<PressureLook, "expected_pa" | "doubt_pa">;
/** As the engine gives it, one for each reading. */
type Step = { expected_gauge_pa: number | null; band_pa: number | null };

export function expectedOf(result: Result | null, at: number): Expected {
  const step = ((result?.["curve"] ?? []) as Step[])[at];
  return { expected_pa: step?.expected_gauge_pa ?? null, doubt_pa: step?.band_pa ?? null };
}
