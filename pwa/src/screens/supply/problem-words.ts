import { formatNumber } from "../../format/number";
import { hasText, t } from "../../text";
import type { EngineError } from "../../trade/types";

/** What the engine could not judge, as a sentence that names the field as it stands on the screen. */
export function problemWords({ code, field, limits }: EngineError): string {
  const key = `supply.${field}`;
  const name = hasText(key) ? t(key) : field;
  if (code === "contradictory") {
    // Three readings of nought contradict nothing: there is nothing to judge, and so no limit.
    return t(limits ? "supply.problem.contradictory" : "supply.problem.no_voltage");
  }
  if (code === "engine_failed") return t("supply.problem.engine_failed");
  if (!limits) return t("supply.problem.look_again", { name });
  return t("supply.problem.out_of_range", {
    name,
    low: formatNumber(limits.low, { digits: 0 }),
    high: formatNumber(limits.high, { digits: 0 }),
    unit: limits.unit,
  });
}
