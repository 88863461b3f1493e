import type { LimitRow, SystemRow, UnitRow } from "../../local/rows";
import type { JobView } from "../../queries/job";
import { t } from "../../text";
import { lastHere } from "../parts/reading/before";
import type { Field, Pick, ReadingDraft } from "../parts/reading/entry";
import type { Inputs } from "../parts/reading/useReading";

export const VOLTAGES = ["v_ab_v", "v_bc_v", "v_ca_v"] as const;
export const CURRENTS = ["i_a_a", "i_b_a", "i_c_a"] as const;
export type SupplyOwn = { currents: "shown" | "hidden" };

/** A voltage this far from nominal is more often a slip of the finger than a supply (P). */
const UNUSUAL_SHARE = 0.25;

export function supplyFields(
  { own }: ReadingDraft<SupplyOwn>,
  { nominal_v }: { nominal_v: number | null },
): Field[] {
  const usual = nominal_v && {
    low: nominal_v * (1 - UNUSUAL_SHARE),
    high: nominal_v * (1 + UNUSUAL_SHARE),
  };
  const voltages = VOLTAGES.map(
    (name): Field => ({
      name,
      label: t(`supply.${name}`),
      quantity: "voltage",
      ...(usual ? { usual } : {}),
    }),
  );
  if (own.currents === "hidden") return voltages;
  const currents = CURRENTS.map(
    (name): Field => ({ name, label: t(`supply.${name}`), quantity: "current", need: "optional" }),
  );
  return [...voltages, ...currents];
}

export function rotationPick(): Pick {
  return {
    name: "rotation",
    label: t("supply.rotation"),
    // Whether it turns right is told by the engine as soon as there are voltages.
    need: "optional",
    options: [
      { value: "forward", label: t("supply.forward") },
      { value: "reverse", label: t("supply.reverse") },
      { value: "not_measured", label: t("supply.not_measured") },
    ],
  };
}

function limitOf(name: string, { system, limits }: { system: SystemRow; limits: LimitRow[] }) {
  const own = system[name as "supply_tolerance_pct" | "unbalance_limit_pct"];
  const sheet = limits.find((limit) => limit.name === name);
  const value = own ?? sheet?.value;
  if (value === undefined || value === null) return null;
  const known = sheet && sheet.value === value;
  return { value, source: known ? sheet.source : null, mark: known ? sheet.mark : null };
}

const LIMITS: [string, string][] = [
  ["unbalance_limit_pct", "unbalance_limit"],
  ["supply_tolerance_pct", "tolerance"],
];

/** What the engine gets: SI numbers, and each limit with where it comes from. */
export function supplyInputs(
  values: Record<string, number>,
  {
    rotation,
    system,
    limits,
  }: { rotation: string | undefined; system: SystemRow; limits: LimitRow[] },
): Inputs | null {
  if (system.nominal_v === null) return null;
  const inputs: Inputs = {
    ...values,
    nominal_v: system.nominal_v,
    rotation: rotation ?? "not_measured",
  };
  for (const [row, input] of LIMITS) {
    const limit = limitOf(row, { system, limits });
    if (!limit) continue;
    inputs[`${input}_pct`] = limit.value;
    if (limit.source) inputs[`${input}_source`] = limit.source;
    if (limit.mark) inputs[`${input}_mark`] = limit.mark;
  }
  return inputs;
}

/**
 * Other modules of the same feeder that were found reversed: one cause upstream
 * is likelier than the same slip made at each module.
 */
export function reversedOnFeeder(unit: UnitRow, { view }: { view: JobView }): UnitRow[] {
  if (!unit.feeder) return [];
  const isReversed = (one: UnitRow) => {
    const system = view.systemById.get(one.system_id ?? "");
    return lastHere("supply_power", { view, system, unit: one })?.inputs.rotation === "reverse";
  };
  return view.units.filter(
    (one) => one.id !== unit.id && one.feeder === unit.feeder && isReversed(one),
  );
}
