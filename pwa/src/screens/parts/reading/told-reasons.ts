/** Reasons of the engine put together as people say them, wherever a result stands. */
import { t } from "../../../text";
import type { Reason } from "../../../trade/types";

/** Said of one unit after another: one sentence with all their names is enough. */
const ONE_SENTENCE = ["unit_fits_no_port", "unit_not_measured"];

/** Two that are swapped are told as people say it; a longer ring unit by unit. */
function swapWords({ code, values }: Reason): Reason {
  const units = values["units"] as string[];
  const end = code.endsWith("_likely") ? "_likely" : "";
  const [first, second] = units;
  if (units.length === 2) return { code: `ports_swapped_two${end}`, values: { first, second } };
  const rest = units.slice(1).map((unit, at) => {
    const port = units[(at + 2) % units.length] ?? "";
    return t("port_check.ring_part", { unit, port });
  });
  return {
    code: `ports_swapped_ring${end}`,
    values: { first, second, rest: rest.join(", ") },
  };
}

function together(reasons: Reason[]): Reason[] {
  return reasons.flatMap((reason, at) => {
    const { code, values } = reason;
    if (!ONE_SENTENCE.includes(code)) return [reason];
    if (reasons.findIndex((one) => one.code === code) < at) return [];
    const names = reasons.flatMap((one) => (one.code === code ? [one.values["name"]] : []));
    return [{ code, values: names.length > 1 ? { ...values, name: names } : values }];
  });
}

export function toldReasons(reasons: Reason[]): Reason[] {
  return together(reasons).map((reason) =>
    reason.code.startsWith("ports_swapped") ? swapWords(reason) : reason,
  );
}
