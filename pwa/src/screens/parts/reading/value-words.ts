/**
 * A raw number of the engine as text, in the unit that the person uses. The name of a value says
 * what it is: `_pa`, `_c`, `_kg`; where one suffix serves two quantities the whole name decides.
 */
import { formatNumber, formatQuantity } from "../../../format/number";
import { formatSpan } from "../../../format/time";
import {
  formatIn,
  fromSi,
  type Quantity,
  toSi,
  type UnitSystem,
  unitOf,
  usualUnit,
} from "../../../format/units";

/** The person's system, and the units that they switched to on this screen. */
export type UnitsInUse = { system: UnitSystem; shown?: Partial<Record<Quantity, string>> };

const BY_NAME: [RegExp, Quantity][] = [
  [/gauge_pa$|^(bubble|dew)_gauge_pa$/, "gauge_pressure"],
  [/barometer.*_pa$/, "air_pressure"],
  [/^(bubble|dew|pressure|saturation).*_pa$|absolute.*_pa$/, "absolute_pressure"],
  [/room.*_m3$/, "room_volume"],
  [/density.*_kg_m3$/, "density"],
  [/diameter.*_m$|straight.*_m$|wall.*_m$/, "short_length"],
  [/altitude.*_m$/, "altitude"],
];

/** The longest suffix first: `_pa_m3_s` before `_s`. */
const BY_SUFFIX: [string, Quantity][] = [
  ["_pa_m3_s", "leak_rate"],
  ["_kg_m3", "concentration"],
  ["_kg_kg", "humidity"],
  ["_m3_s", "air_flow"],
  ["_kg_s", "mass_flow"],
  ["_kg_m", "mass_per_length"],
  ["_deg", "angle"],
  ["_pct", "percent"],
  ["_m3", "volume"],
  ["_kg", "mass"],
  ["_pa", "pressure_difference"],
  ["_c", "temperature"],
  ["_k", "temperature_difference"],
  ["_m", "length"],
  ["_w", "power"],
  ["_j", "energy"],
  ["_v", "voltage"],
  ["_a", "current"],
];

/** Units as the engine writes them beside a limit. */
const BY_UNIT: Record<string, Quantity> = {
  "%": "percent",
  Pa: "pressure_difference",
  "Pa m3/s": "leak_rate",
  "kg/m3": "concentration",
  "kg/m": "mass_per_length",
  "m3/s": "air_flow",
  degC: "temperature",
  K: "temperature_difference",
  m: "length",
  m3: "room_volume",
  kg: "mass",
  W: "power",
  V: "voltage",
  A: "current",
  deg: "angle",
};

/** Where a calculation means something of its own by a suffix or by a unit. */
const OWN: Record<string, Partial<Record<Quantity, Quantity>>> = {
  vacuum_stand: {
    pressure_difference: "vacuum",
    absolute_pressure: "vacuum",
    temperature_difference: "temperature_difference",
  },
  joint_geometry: { length: "short_length" },
};

export function quantityOf(
  name: string,
  { calculation }: { calculation: string },
): Quantity | null {
  const found =
    BY_NAME.find(([pattern]) => pattern.test(name))?.[1] ??
    BY_SUFFIX.find(([suffix]) => name.endsWith(suffix))?.[1];
  return found ? (OWN[calculation]?.[found] ?? found) : null;
}

export function quantityOfUnit(unit: string, { calculation }: { calculation: string }) {
  const found = BY_UNIT[unit];
  return found ? (OWN[calculation]?.[found] ?? found) : null;
}

/** Psi typed for a gauge are psi for a difference too. */
const ALIKE: Partial<Record<Quantity, Quantity>> = {
  pressure_difference: "gauge_pressure",
  temperature_difference: "temperature",
};
const LIKE_SYMBOL: Record<string, string> = { "°C": "K" };

export function unitInUse(quantity: Quantity, { system, shown = {} }: UnitsInUse) {
  const kin = ALIKE[quantity] && shown[ALIKE[quantity]];
  const symbol = shown[quantity] ?? (kin && (LIKE_SYMBOL[kin] ?? kin));
  return symbol ? unitOf(quantity, { symbol }) : usualUnit(quantity, { system });
}

export function quantityWords(si: number, quantity: Quantity, units: UnitsInUse): string {
  return formatIn(si, { quantity, unit: unitInUse(quantity, units) });
}

type Known = { calculation: string; units: UnitsInUse; nameOf?: (id: string) => string };

/** Seconds are told as people say them, the rest by its quantity; a plain number as it is. */
export function valueWords(name: string, value: unknown, known: Known): string {
  if (Array.isArray(value)) {
    return value.map((one) => valueWords(name, one, known)).join(", ");
  }
  if (typeof value !== "number") return textWords(value, known);
  if (name.endsWith("_s") && !quantityOf(name, known)) return formatSpan(value);
  if (name.endsWith("_kw")) {
    return quantityWords(toSi(value, unitOf("power", { symbol: "kW" })), "power", known.units);
  }
  const quantity = quantityOf(name, known);
  if (quantity && DOUBT_OF_A_SENSOR.test(name)) return doubtWords(value, quantity, known.units);
  if (quantity) return quantityWords(value, quantity, known.units);
  return formatNumber(value, Number.isInteger(value) ? { digits: 0 } : { significant: 3 });
}

/** A quarter of a kelvin is no third of one: what a sensor may be off keeps two figures. */
const DOUBT_OF_A_SENSOR = /_uncertainty_(k|pct)$/;

function doubtWords(si: number, quantity: Quantity, units: UnitsInUse): string {
  const unit = unitInUse(quantity, units);
  return formatQuantity(fromSi(si, unit), { significant: 2, unit: unit.symbol });
}

function textWords(value: unknown, { nameOf }: Known): string {
  const text = value === null || value === undefined ? "–" : String(value);
  return nameOf ? nameOf(text) : text;
}
