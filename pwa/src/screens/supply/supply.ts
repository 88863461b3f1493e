import { parseEntry } from "../../format/entry";
import type { Entered, LimitRow, ReadingRow, SystemRow, UnitRow } from "../../local/rows";
import type { JobView } from "../../queries/job";

export const VOLTAGES = ["v_ab_v", "v_bc_v", "v_ca_v"] as const;
export const CURRENTS = ["i_a_a", "i_b_a", "i_c_a"] as const;
export type Rotation = "forward" | "reverse" | "not_measured";
export type FieldName = (typeof VOLTAGES)[number] | (typeof CURRENTS)[number];

export type SupplyDraft = {
  text: Partial<Record<FieldName, string>>;
  rotation: Rotation | null;
  currents: "shown" | "hidden";
  reason: string;
};

export const EMPTY_SUPPLY: SupplyDraft = {
  text: {},
  rotation: null,
  currents: "hidden",
  reason: "",
};

/** A voltage this far from nominal is more often a slip of the finger than a supply (P). */
const UNUSUAL_PCT = 25;

function filled(draft: SupplyDraft): FieldName[] {
  const shown = draft.currents === "shown" ? [...VOLTAGES, ...CURRENTS] : [...VOLTAGES];
  return shown.filter((name) => (draft.text[name] ?? "").trim() !== "");
}

/** Fields that hold something which is not a number. */
export function notNumbers(draft: SupplyDraft): FieldName[] {
  return filled(draft).filter((name) => parseEntry(draft.text[name] ?? "") === null);
}

export function hasVoltages(draft: SupplyDraft): boolean {
  return VOLTAGES.every((name) => parseEntry(draft.text[name] ?? "") !== null);
}

function limitOf(name: string, { system, limits }: { system: SystemRow; limits: LimitRow[] }) {
  const own = system[name as "supply_tolerance_pct" | "unbalance_limit_pct"];
  const sheet = limits.find((limit) => limit.name === name);
  const value = own ?? sheet?.value;
  if (value === undefined || value === null) return null;
  const known = sheet && sheet.value === value;
  return { value, source: known ? sheet.source : null, mark: known ? sheet.mark : null };
}

/** What the engine gets: SI numbers, and each limit with where it comes from. */
export function supplyInputs(
  draft: SupplyDraft,
  { system, limits }: { system: SystemRow; limits: LimitRow[] },
): Record<string, unknown> {
  const inputs: Record<string, unknown> = {
    nominal_v: system.nominal_v,
    rotation: draft.rotation ?? "not_measured",
  };
  for (const name of filled(draft)) inputs[name] = parseEntry(draft.text[name] ?? "");
  const named: [string, string][] = [
    ["unbalance_limit_pct", "unbalance_limit"],
    ["supply_tolerance_pct", "tolerance"],
  ];
  for (const [row, input] of named) {
    const limit = limitOf(row, { system, limits });
    if (!limit) continue;
    inputs[`${input}_pct`] = limit.value;
    if (limit.source) inputs[`${input}_source`] = limit.source;
    if (limit.mark) inputs[`${input}_mark`] = limit.mark;
  }
  return inputs;
}

/** What was typed, as typed. */
export function enteredOf(draft: SupplyDraft): Entered {
  const entered: Entered = { rotation: { text: draft.rotation ?? "not_measured", unit: "" } };
  for (const name of filled(draft)) {
    entered[name] = { text: draft.text[name] ?? "", unit: name.startsWith("v_") ? "V" : "A" };
  }
  return entered;
}

/** The voltage that asks for a word of explanation before it is kept. */
export function unusualVoltage(draft: SupplyDraft, { nominal_v }: { nominal_v: number }) {
  return VOLTAGES.map((name) => parseEntry(draft.text[name] ?? ""))
    .filter((value) => value !== null)
    .find((value) => (100 * Math.abs(value - nominal_v)) / nominal_v > UNUSUAL_PCT);
}

export function latestSupply(unit: UnitRow, { view }: { view: JobView }): ReadingRow | undefined {
  return (view.readingsByUnit.get(unit.id) ?? [])
    .filter((reading) => reading.calculation === "supply_power")
    .sort((a, b) => b.taken_at.localeCompare(a.taken_at))[0];
}

function modulesOf(unit: UnitRow, view: JobView): UnitRow[] {
  return view.units.filter(
    (one) => one.kind === "outdoor_module" && one.system_id === unit.system_id,
  );
}

/**
 * Other modules of the same feeder that were found reversed: one cause upstream
 * is likelier than the same slip made at each module.
 */
export function reversedOnFeeder(unit: UnitRow, { view }: { view: JobView }): UnitRow[] {
  if (!unit.feeder) return [];
  return view.units.filter(
    (one) =>
      one.id !== unit.id &&
      one.feeder === unit.feeder &&
      latestSupply(one, { view })?.inputs.rotation === "reverse",
  );
}

/** The next module of the system that has no reading yet, in the order of the sheet. */
export function nextModule(unit: UnitRow, { view }: { view: JobView }): UnitRow | undefined {
  const modules = modulesOf(unit, view);
  const at = modules.findIndex((one) => one.id === unit.id);
  return [...modules.slice(at + 1), ...modules.slice(0, at)].find(
    (one) => !latestSupply(one, { view }),
  );
}

/** The last reading taken on any module of the job: what "same as before" repeats. */
export function readingBefore(unit: UnitRow, { view }: { view: JobView }): ReadingRow | undefined {
  return view.readings
    .filter((one) => one.calculation === "supply_power" && one.system_id === unit.system_id)
    .sort((a, b) => b.taken_at.localeCompare(a.taken_at))[0];
}

/** The numbers of the module before. Which way this one turns is never taken from another. */
export function sameAsBefore(reading: ReadingRow): Partial<SupplyDraft> {
  const text: SupplyDraft["text"] = {};
  for (const name of VOLTAGES) {
    const entry = reading.entered[name];
    if (entry) text[name] = entry.text;
  }
  return { text };
}
